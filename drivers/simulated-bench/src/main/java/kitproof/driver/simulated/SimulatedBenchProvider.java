package kitproof.driver.simulated;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.value.Problem;
import kitproof.value.Unit;

/** The driver {@code simulated-bench}: every kind of instrument around one simulated Linnet 12. */
public final class SimulatedBenchProvider implements DriverProvider {
  /** Called by the service loader. */
  public SimulatedBenchProvider() {}

  @Override
  public DriverDescription describe() {
    return new DriverDescription(
        "simulated-bench",
        "Meter, switcher, audio interface and operator around one simulated Linnet 12.",
        EnumSet.allOf(InstrumentKind.class),
        List.of(
            new Setting("bench", "a name", "", "The roles that give the same name share one unit."),
            new Setting("seed", "a whole number", "12", "switcher: spread from unit to unit."),
            new Setting(
                "relays", "{K1: mains, …}", "none", "switcher: what each relay is wired to."),
            new Setting(
                "faults", "{LN12-003: taps-exchanged, …}", "none", "switcher: faulty units."),
            new Setting(
                "loads",
                "{left-8-ohm: 8.02 ohm, …}",
                "near nominal",
                "switcher: resistor per tap."),
            new Setting(
                "trimmers",
                "{bias-left: 35 %, …}",
                "50 % each",
                "switcher: where they stand when the unit comes."),
            new Setting(
                "second-load",
                "ohms",
                "20 ohm",
                "switcher: put in parallel by a second-load relay."),
            new Setting(
                "load-capacitor",
                "farads",
                "100 nF",
                "switcher: across the load by a capacitor relay."),
            new Setting(
                "series-resistor",
                "ohms",
                "47 kohm",
                "switcher: before the inputs by input-series."),
            new Setting(
                "attenuation",
                "a ratio",
                "4",
                "switcher: of the inputs' attenuator, which sensitive-inputs takes out."),
            new Setting(
                "contacts",
                "{resistance: 50 mohm, by-appraiser: 20 mohm, …}",
                "none",
                "switcher: between unit and loads, for a gauge study to find."),
            new Setting(
                "functions", "{hv: {point: hv, range: 1000 V}, …}", "", "meter: what it reads."),
            new Setting("reading-time", "a time", "60 ms", "meter: how long a reading takes."),
            new Setting("sample-rate", "44.1 kHz to 192 kHz", "96 kHz", "audio: its rate."),
            new Setting("outputs", "{left: 2 V, right: 2 V}", "", "audio: full scale of outputs."),
            new Setting("inputs", "{left: 20 V, right: 20 V}", "", "audio: full scale of inputs."),
            new Setting(
                "noise", "decibels", "-110 dB", "audio: noise relative to a full-scale sine."),
            new Setting(
                "errors",
                "{output-left: 0.8 %, low-corner: 2 Hz, …}",
                "none",
                "audio: what it does wrong, for calibration to find."),
            new Setting("error", "percent", "0 %", "meter: of every reading."),
            new Setting(
                "leads", "ohms", "0 ohm", "meter: of its leads, where it has two wires only."),
            new Setting(
                "check-resistor", "ohms", "10 ohm", "switcher: resistor of the check standard."),
            new Setting(
                "room",
                "{temperature: 23 °C, humidity: 45 %}",
                "that",
                "switcher: the room, which the operator or a meter sees."),
            new Setting("thinks", "a time", "1 s", "operator: how long an answer takes."),
            new Setting(
                "turns",
                "{bias trimmer left: bias-left, …}",
                "none",
                "operator: what plans call a control, and which trimmer it is."),
            new Setting(
                "sees",
                "{heater by eye: heater, …}",
                "none",
                "operator: results that are read by eye, and where.")));
  }

  @Override
  public boolean livesInBenchTime() {
    return true;
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    List<Problem> problems = new ArrayList<>();
    switch (kind) {
      case SWITCHER -> problems.addAll(SwitcherSettings.read(settings, routes).wrong());
      case METER -> MeterSettings.read(settings);
      case AUDIO_INTERFACE -> AudioSettings.read(settings);
      case OPERATOR -> OperatorSettings.read(settings);
    }
    problems.addAll(settings.problems());
    problems.sort(
        Comparator.comparingInt((Problem p) -> p.location().line())
            .thenComparingInt(p -> p.location().column()));
    return problems;
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    return switch (kind) {
      case SWITCHER -> {
        SwitcherSettings read = SwitcherSettings.read(settings, context.routes());
        settings.requireSound();
        Bench bench = Bench.of(read.bench(), context);
        yield RouteSwitcher.open(
            new SimulatedRelays(bench, read, context.unit(), context.handling()),
            context.routes(),
            context.clock());
      }
      case METER -> {
        MeterSettings read = MeterSettings.read(settings);
        settings.requireSound();
        yield new SimulatedMeter(Bench.of(read.bench(), context), read, context.handling());
      }
      case AUDIO_INTERFACE -> {
        AudioSettings read = AudioSettings.read(settings);
        settings.requireSound();
        yield new SimulatedAudio(Bench.of(read.bench(), context), read, context.handling());
      }
      case OPERATOR -> {
        OperatorSettings read = OperatorSettings.read(settings);
        settings.requireSound();
        yield new SimulatedOperator(Bench.of(read.bench(), context), read, context.clock());
      }
    };
  }

  @Override
  public Optional<Unit> unit(Settings settings, String function) {
    return Optional.ofNullable(MeterSettings.read(settings).functions().get(function))
        .map(f -> f.point().unit());
  }

  @Override
  public Optional<Duration> readingTime(Settings settings, String function) {
    return Optional.of(MeterSettings.read(settings).readingTime());
  }
}
