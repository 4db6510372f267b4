package kitproof.driver.simulated;

import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.driver.SimulatedClock;
import kitproof.driver.Switcher;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.SwitcherContract;

/** A small bench file in code: every kind of role around one unit. */
final class Roles {
  static final Map<String, String> RELAYS = relays();

  static final List<Route> ROUTES =
      List.of(
          SwitcherContract.route("mains limited", "mains", "K1"),
          SwitcherContract.route("mains direct", "mains", "K1", "K2"),
          SwitcherContract.route("drive left", "drive", "K3"),
          SwitcherContract.route("left 4 ohm tap", "left load", "K5"),
          SwitcherContract.route("left open", "left load", "K19"),
          SwitcherContract.route("cathode V4", "probe", "K10"),
          SwitcherContract.route("heater", "probe", "K13"));

  final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  final FakeContext context;
  private final SimulatedBenchProvider provider = new SimulatedBenchProvider();

  Roles(String serial) {
    context = new FakeContext(clock).unit(serial);
  }

  private static Map<String, String> relays() {
    Map<String, String> relays = new LinkedHashMap<>();
    relays.put("K1", "mains");
    relays.put("K2", "limiter-bypass");
    relays.put("K3", "drive-left");
    relays.put("K4", "drive-right");
    relays.put("K5", "left-4-ohm");
    relays.put("K10", "probe-V4");
    relays.put("K13", "probe-heater");
    relays.put("K19", "left-open");
    return relays;
  }

  static Map<String, ?> switcherSettings() {
    return Map.of(
        "bench", "linnet-12",
        "seed", "12",
        "relays", RELAYS,
        "loads", Map.of("left-8-ohm", "8.02 ohm"),
        "trimmers", Map.of("bias-left", "30 %", "bias-right", "50 %"),
        "second-load", "20 ohm",
        "load-capacitor", "100 nF",
        "series-resistor", "47 kohm",
        "faults", Map.of("LN12-005", "taps-exchanged"));
  }

  static Map<String, ?> meterSettings() {
    return Map.of(
        "bench", "linnet-12",
        "reading-time", "60 ms",
        "functions",
            Map.of(
                "hv", Map.of("point", "hv", "range", "1000 V"),
                "low-range", Map.of("point", "hv", "range", "20 V"),
                "ripple", Map.of("point", "hv-ripple"),
                "power", Map.of("point", "mains-power"),
                "heater", Map.of("point", "heater"),
                "dc", Map.of("point", "probe"),
                "ac", Map.of("point", "probe-ac"),
                "flyback", Map.of("point", "flyback")));
  }

  static Map<String, ?> audioSettings() {
    return Map.of(
        "bench", "linnet-12",
        "sample-rate", "96 kHz",
        "outputs", Map.of("left", "2 V", "right", "2 V"),
        "inputs", Map.of("left", "20 V", "right", "20 V"),
        "noise", "-112 dB");
  }

  static Map<String, ?> operatorSettings() {
    return Map.of(
        "bench",
        "linnet-12",
        "thinks",
        "2 s",
        "turns",
        Map.of("bias", "bias-left"),
        "sees",
        Map.of("hv by eye", "hv"));
  }

  Operator operator() throws InstrumentException {
    return (Operator)
        provider.open(InstrumentKind.OPERATOR, Nodes.settings(operatorSettings()), context);
  }

  Switcher switcher() throws InstrumentException {
    return switcher(ROUTES);
  }

  Switcher switcher(List<Route> routes) throws InstrumentException {
    return (Switcher)
        provider.open(
            InstrumentKind.SWITCHER, Nodes.settings(switcherSettings()), context.routes(routes));
  }

  Meter meter() throws InstrumentException {
    return (Meter) provider.open(InstrumentKind.METER, Nodes.settings(meterSettings()), context);
  }

  AudioInterface audio() throws InstrumentException {
    return (AudioInterface)
        provider.open(InstrumentKind.AUDIO_INTERFACE, Nodes.settings(audioSettings()), context);
  }

  static double value(Meter meter, String function) throws InstrumentException {
    return ((Reading.Value) meter.read(function)).quantity().value();
  }
}
