package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.BiPredicate;
import java.util.function.DoubleUnaryOperator;
import java.util.function.UnaryOperator;
import kitproof.calibration.Calibration;
import kitproof.document.Binder;
import kitproof.document.YamlReader;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.driver.kit.FakeMeter;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Signal;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** A bench whose amplifier is a formula and whose rail is a function of time since switching. */
final class FormulaBench implements StepBench {
  private final SimulatedClock clock = new SimulatedClock(Instant.parse("2026-11-25T10:15:00Z"));
  private final Calls calls = new Calls(clock);
  final FakeMeter meter = new FakeMeter(calls, "meter");
  final List<Measurement> measured = new ArrayList<>();
  final List<String> notices = new ArrayList<>();
  final List<String> answered = new ArrayList<>();
  final List<String> stops = new ArrayList<>();
  final ScriptedOperator operator = new ScriptedOperator();
  final List<Route.Purpose> switched = new ArrayList<>();
  Conditions conditions = Conditions.of("channel", "left");
  Quantity load = Quantity.of(8, Unit.OHM);
  @Nullable Quantity rightLoad;

  /** The load and the formula while other routes are selected. */
  Quantity otherLoad = Quantity.of(6, Unit.OHM);

  UnaryOperator<double[]> otherLeft = UnaryOperator.identity();
  final List<String> rerouted = new ArrayList<>();
  final List<Measurement> earlier = new ArrayList<>();
  UnaryOperator<double[]> left = UnaryOperator.identity();
  UnaryOperator<double[]> right = UnaryOperator.identity();

  /** What of the left output is heard in the right one, as a ratio. */
  double leak;

  double sampleRate = 48_000;
  double drivePeak = 10;
  double inputPeak = 100;
  final List<InputRange> ranges = new ArrayList<>();
  final List<String> selected = new ArrayList<>();
  @Nullable StationResidual residual;
  @Nullable Calibration calibration;
  String loadRoute = "load";
  boolean lost;
  long switchedNanos;

  /** The same formula for every sample. */
  static UnaryOperator<double[]> curve(DoubleUnaryOperator formula) {
    return samples -> java.util.Arrays.stream(samples).map(formula).toArray();
  }

  /** A rail that goes by seconds since the mains was last switched; before that {@code before}. */
  FormulaBench rail(double before, DoubleUnaryOperator voltsAfter) {
    meter.function(
        "hv",
        Unit.VOLT,
        () -> switched.isEmpty() ? before : voltsAfter.applyAsDouble(sinceSwitched() / 1e9));
    return this;
  }

  /** Nanoseconds since the mains was last switched. */
  long sinceSwitched() {
    return clock.nanos() - switchedNanos;
  }

  FormulaBench readings(Reading first, Reading... more) {
    meter.readings("hv", Unit.VOLT, first, more);
    return this;
  }

  /** Measures with settings as a plan has them, and holds the results against the promises. */
  Map<String, Figure> measure(String procedure, String settings) throws Exception {
    return measured(Procedures.byId(procedure).orElseThrow(), settings);
  }

  /** Measures under {@code channel: both}; figures by channel and name. */
  Map<String, Map<String, Figure>> measureBoth(String procedure, String settings) throws Exception {
    conditions = Conditions.of("channel", "both");
    Map<String, Map<String, Figure>> byChannel = new TreeMap<>();
    byChannel.put("left", new TreeMap<>());
    byChannel.put("right", new TreeMap<>());
    List<Measurement> all = measurements(Procedures.byId(procedure).orElseThrow(), settings);
    measured.clear();
    measured.addAll(all);
    for (Measurement measurement : all) {
      String channel = measurement.conditions().values().get("channel");
      assertThat(byChannel.get(channel).put(measurement.name(), measurement.figure())).isNull();
    }
    return byChannel;
  }

  /** Measures, for results that only their conditions tell apart. */
  List<Measurement> all(String procedure, String settings) throws Exception {
    return measurements(Procedures.byId(procedure).orElseThrow(), settings);
  }

  private <S extends Record> List<Measurement> measurements(Procedure<S> procedure, String yaml)
      throws Exception {
    return procedure.measure(settings(procedure, yaml), this);
  }

  private static <S extends Record> S settings(Procedure<S> procedure, String yaml) {
    return YamlReader.read("settings.yaml", yaml)
        .flatMap(section -> new Binder().bind(section, procedure.settings()))
        .value();
  }

  private <S extends Record> Map<String, Figure> measured(Procedure<S> procedure, String yaml)
      throws Exception {
    List<Measurement> measurements = measurements(procedure, yaml);
    List<Outline.Promise> promises = procedure.outline(settings(procedure, yaml)).promises();
    measured.clear();
    measured.addAll(measurements);
    return KeptPromises.figures(measurements, promises, conditions);
  }

  static double number(Figure figure) {
    assertThat(figure).isInstanceOf(Figure.OfQuantity.class);
    return ((Figure.OfQuantity) figure).quantity().value();
  }

  static Curve curve(Figure figure) {
    assertThat(figure).isInstanceOf(Figure.OfCurve.class);
    return ((Figure.OfCurve) figure).curve();
  }

  static String reason(Figure figure) {
    assertThat(figure).isInstanceOf(Figure.Invalid.class);
    return ((Figure.Invalid) figure).reason();
  }

  final List<String> brokenOff = new ArrayList<>();
  final List<String> discharged = new ArrayList<>();

  /** What the judge of a curve that is being measured says of a value at a time. */
  BiPredicate<Double, Double> judge = (seconds, value) -> true;

  @Override
  public boolean sample(String result, Quantity at, Quantity value) {
    boolean good = judge.test(at.in(Unit.SECOND), value.value());
    if (!good) {
      breakOff(result);
    }
    return good;
  }

  @Override
  public void breakOff(String why) {
    brokenOff.add(why);
  }

  @Override
  public void discharged(String evidence) {
    discharged.add(evidence);
  }

  final List<String> notShown = new ArrayList<>();

  @Override
  public void notShownDischarged(String why) {
    notShown.add(why);
  }

  @Override
  public Conditions conditions() {
    return conditions;
  }

  @Override
  public Meter meter(String role) {
    return meter;
  }

  @Override
  public AudioInterface audio(String role) {
    List<AudioPort> out =
        List.of(new AudioPort("left", drivePeak), new AudioPort("right", drivePeak));
    List<AudioPort> in =
        List.of(new AudioPort("left", inputPeak), new AudioPort("right", inputPeak));
    AudioPorts ports = new AudioPorts(sampleRate, out, in);
    FakeAudioInterface fake =
        new FakeAudioInterface(
            calls,
            "audio",
            ports,
            stimulus -> {
              double[] l = left.apply(stimulus.channel(0));
              double[] r = right.apply(stimulus.channel(1));
              for (int i = 0; i < l.length; i++) {
                r[i] += leak * l[i];
              }
              return Signal.of(stimulus.sampleRateHz(), attenuated(l), attenuated(r));
            });
    return lost ? fake.loseAlways() : fake;
  }

  /** What the attenuator of the selected range makes of an output. */
  private double[] attenuated(double[] samples) {
    if (selected.isEmpty()) {
      return samples;
    }
    String now = selected.get(selected.size() - 1);
    InputRange range = ranges.stream().filter(r -> r.name().equals(now)).findFirst().orElseThrow();
    double gain = ranges.get(0).fullScale().value() / range.fullScale().value();
    return curve(x -> gain * x).apply(samples);
  }

  @Override
  public List<InputRange> inputRanges() {
    return ranges;
  }

  @Override
  public void selectInputRange(InputRange range) {
    selected.add(range.name());
  }

  @Override
  public Optional<Calibration> calibration() {
    return Optional.ofNullable(calibration);
  }

  @Override
  public String loadRoute(String channel) {
    return loadRoute;
  }

  @Nullable Quantity perKelvin;

  @Override
  public Optional<Quantity> loadPerKelvin(String route) {
    return Optional.ofNullable(perKelvin);
  }

  @Override
  public Optional<StationResidual> residual() {
    return Optional.ofNullable(residual);
  }

  final List<StationSpur> spurs = new ArrayList<>();

  @Override
  public List<StationSpur> spurs() {
    return spurs;
  }

  @Override
  public Quantity load(String channel) {
    return channel.equals("right") && rightLoad != null ? rightLoad : load;
  }

  @Override
  public <T> T rerouted(List<String> routes, Work<T> work)
      throws InstrumentException, InterruptedException {
    rerouted.add(String.join(", ", routes));
    Quantity before = load;
    UnaryOperator<double[]> direct = left;
    load = otherLoad;
    left = otherLeft;
    loadRoute = "other load";
    T result = work.run();
    loadRoute = "load";
    load = before;
    left = direct;
    return result;
  }

  /** The readings that are taken while something is played. */
  final HeldReadings beside = new HeldReadings(clock, meter);

  @Override
  public <T> Beside<T> readWhilePlaying(
      String role, String function, Duration from, Duration every, Work<T> work)
      throws InstrumentException, InterruptedException {
    return beside.read(function, from, every, work);
  }

  @Override
  public List<Measurement> earlier() {
    return earlier;
  }

  /** Another unit by the name that a plan has for it. */
  final Map<String, ReferenceUnit> otherUnits = new TreeMap<>();

  @Override
  public Optional<ReferenceUnit> otherUnit(String name) {
    return Optional.ofNullable(otherUnits.get(name));
  }

  @Override
  public void mains(Route.Purpose purpose) {
    switched.add(purpose);
    switchedNanos = clock.nanos();
  }

  @Override
  public Duration elapsed() {
    return Duration.ofNanos(clock.nanos());
  }

  @Override
  public void pause(Duration duration) throws InterruptedException {
    clock.sleep(duration);
  }

  @Override
  public Operator operator(String role) {
    return operator;
  }

  @Override
  public void answered(Question question, Answer answer) {
    answered.add(answer.toString());
  }

  @Override
  public void stop(String reason) {
    stops.add(reason);
  }

  @Override
  public void notice(String text) {
    notices.add(text);
  }
}
