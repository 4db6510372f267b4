package kitproof.peers;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import kitproof.peer.ModbusSlave;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;
import kitproof.peer.SoundServer;

/**
 * A bench whose sound device is a private sound server and whose relays, on a serial line, choose
 * which device under test lies between its output and its input.
 */
final class SoundRun implements AutoCloseable {
  /** Of outputs and inputs, volts peak. */
  static final double FULL_SCALE_PEAK = 10;

  private static final int DRIVE_LEFT = 0;
  private static final int TAP = 2;
  private static final int SECOND_LOAD = 3;
  private static final int SERIES = 4;
  private static final int CAPACITOR = 5;
  private static final int RANGE = 6;
  private static final int FIRST_DEVICE = 7;

  /** By how much less the inputs take when the attenuator before them is out. */
  private static final double MORE_SENSITIVE = 5;

  private static final String AUDIO =
      """
        audio:
          driver: audio-interface
          kind: audio-interface
          settings:
            bits: 32
            timeout: 20 s
            buffer: 300 ms # others compute on the same processors
            outputs: {left: {channel: 1, full-scale: 10 V peak}, right: {channel: 2, full-scale: 10 V peak}}
            inputs: {left: {channel: 1, full-scale: 10 V peak}, right: {channel: 2, full-scale: 10 V peak}}
      """;

  final SoundServer server;
  private final PtyPair cable = PtyPair.open();
  private final ModbusSlave slave = ModbusSlave.on(cable.far());
  private final Opened wattmeter = new Opened();
  private String wattmeterRole = "";
  private final List<ModbusSlave.Wire> rows = new ArrayList<>();
  private final List<String> devices = new ArrayList<>();
  private String moreRoutes = "";

  SoundRun(Path folder) throws Exception {
    server = SoundServer.start(Files.createDirectories(folder.resolve("sound")));
  }

  /** A mono plugin on each channel, as a route of its own; the first one is the one at rest. */
  SoundRun device(String name, String plugin, String label, double... controls) {
    String sink = "device" + devices.size();
    server.add(sink, "", plugin, label, controls);
    return device(name, server.choosing(sink));
  }

  /** The last device with a capacitor across its load, with which this plugin stands for it. */
  SoundRun withCapacitor(String plugin, String label, double... controls) {
    server.add("capacitor", "", plugin, label, controls);
    row(coils(lastDevice(), CAPACITOR), server.choosing("capacitor"));
    moreRoutes +=
        "      left 8 ohm tap, capacitor: {group: left load, purpose: load, load: 8 ohm, relays:"
            + " [K5]}\n";
    return this;
  }

  /** An attenuator before the inputs; the last device has this gain without it. */
  SoundRun withAttenuator(double gain) {
    server.add("sensitive", "", "amp", "amp_mono", gain * MORE_SENSITIVE);
    row(coils(lastDevice(), RANGE), server.choosing("sensitive"));
    double volts = FULL_SCALE_PEAK / Math.sqrt(2);
    moreRoutes +=
        String.format(
            Locale.ROOT,
            "      range 7 V:   {group: input range, purpose: range, full-scale: %.9f V}%n"
                + "      range 1.4 V: {group: input range, purpose: range, full-scale: %.9f V,"
                + " relays: [K6]}%n",
            volts,
            volts / MORE_SENSITIVE);
    return this;
  }

  /** Whether the attenuator has been out while the left input was driven. */
  boolean wasSensitive() {
    return slave.history().stream().anyMatch(on -> on.containsAll(Set.of(DRIVE_LEFT, RANGE)));
  }

  private String lastDevice() {
    return devices.get(devices.size() - 1);
  }

  /** A device that this shell command puts in. */
  SoundRun device(String name, String command) {
    devices.add(name);
    row(coils(name), command);
    return this;
  }

  /** A meter of the unit's mains power, which is higher as long as the left input is driven. */
  SoundRun wattmeter(double idle, double driven) {
    PtyPair line = wattmeter.add(PtyPair.open());
    ScpiPeer peer = wattmeter.add(ScpiPeer.onPty(line.far()));
    var unused =
        wattmeter.add(
            new Repeated(
                "mains power",
                () -> peer.value("VOLT:AC", slave.coilsOn().contains(DRIVE_LEFT) ? driven : idle)));
    wattmeterRole =
        """
          wattmeter:
            driver: serial-meter
            kind: meter
            settings: {line: %s, functions: {power: {configure: "CONF:VOLT:AC 300", unit: W}}}
        """
            .formatted(line.near());
    return this;
  }

  /** The first device is the one at rest. */
  private Set<Integer> coils(String device, Integer... more) {
    Set<Integer> coils = new TreeSet<>(Set.of(more));
    int index = devices.indexOf(device);
    if (index > 0) {
      coils.add(FIRST_DEVICE + index);
    }
    return coils;
  }

  private void row(Set<Integer> coils, String command) {
    rows.add(new ModbusSlave.Wire(coils, List.of("sh", "-c", command)));
  }

  /** What the second load, the 4 ohm tap, both, and the resistor before the inputs make of it. */
  SoundRun gains(String device, double second, double tap, double tapSecond, double series) {
    gain("second", coils(device, SECOND_LOAD), second);
    gain("tap", coils(device, TAP), tap);
    gain("tap-second", coils(device, TAP, SECOND_LOAD), tapSecond);
    gain("series", coils(device, SERIES), series);
    return this;
  }

  private void gain(String sink, Set<Integer> coils, double ratio) {
    server.add(sink, "", "amp", "amp_mono", ratio);
    row(coils, server.choosing(sink));
  }

  /** Wires it and says what stands in the bench file. */
  String roles() {
    slave.wire(rows);
    int coils = FIRST_DEVICE + devices.size();
    String relays =
        IntStream.range(0, coils)
            .mapToObj(i -> "K" + i + ": " + i)
            .collect(Collectors.joining(", "));
    StringBuilder routes = new StringBuilder();
    for (int i = 0; i < devices.size(); i++) {
      routes.append(
          "      %s: {group: device, settle: 300 ms, %swhen: {device: %s}}%n"
              .formatted(
                  devices.get(i),
                  i == 0 ? "" : "relays: [K" + (FIRST_DEVICE + i) + "], ",
                  devices.get(i)));
    }
    return """
    roles:
      relays:
        driver: relay-switcher
        kind: switcher
        settings: {line: %s, protocol: modbus-rtu, baud: 19200, timeout: 10 s, relays: {%s}}
        routes:
          drive muted:    {group: drive, purpose: mute}
          drive left:     {group: drive, purpose: drive, relays: [K0], when: {channel: left}}
          drive both:     {group: drive, purpose: drive, relays: [K0, K1], when: {channel: both}}
          left 8 ohm tap: {group: left load, purpose: load, load: 8 ohm, when: {channel: left, tap: 8 ohm}}
          left 4 ohm tap: {group: left load, purpose: load, load: 4 ohm, relays: [K2], when: {channel: left, tap: 4 ohm}}
          left 8 ohm tap, second load: {group: left load, purpose: load, load: 6 ohm, relays: [K3]}
          left 4 ohm tap, second load: {group: left load, purpose: load, load: 3 ohm, relays: [K2, K3]}
          right 8 ohm tap: {group: right load, purpose: load, load: 8 ohm, when: {channel: right, tap: 8 ohm}}
          inputs direct:  {group: input}
          inputs through 47 kohm: {group: input, relays: [K4]}
    """
            .formatted(cable.near(), relays)
        + moreRoutes
        + routes.toString().indent(0)
        + AUDIO.indent(0)
        + wattmeterRole.indent(0);
  }

  @Override
  public void close() throws Exception {
    wattmeter.close();
    server.close();
    slave.close();
    cable.close();
  }
}
