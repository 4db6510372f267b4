package kitproof.run;

import java.time.Duration;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Consumer;
import kitproof.calibration.Calibration;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.event.Event;
import kitproof.procedure.Heard;
import kitproof.procedure.Outline;
import kitproof.procedure.ReferenceUnit;
import kitproof.procedure.StationResidual;
import kitproof.procedure.StationSpur;
import kitproof.procedure.StepBench;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** The bench as one running step sees it. */
final class RunningStep implements StepBench, RatedAudio.Wait {
  /** Sleeps are cut into pieces of bench time, each a sign of life. */
  private static final Duration SLICE = Duration.ofMillis(200);

  private final Conditions conditions;
  private final Outline.@Nullable Drive drive;
  private final StepInstruments instruments;
  private final Routing routing;
  private final BenchClock clock;
  private final long startNanos;
  private final RunEvents events;
  private final StopSwitch stop;
  private final Runnable beat;
  private final Judging judging;
  private final LiveUnit live;
  private final Consumer<String> makeSafe;
  private String brokenOff = "";
  private final Timing timing;
  private final Latest latest;
  private final References references;

  RunningStep(
      Conditions conditions,
      Outline.@Nullable Drive drive,
      StepInstruments instruments,
      Routing routing,
      BenchClock clock,
      long startNanos,
      RunEvents events,
      StopSwitch stop,
      Runnable beat,
      Judging judging,
      LiveUnit live,
      Consumer<String> makeSafe,
      Timing timing,
      Latest latest,
      References references) {
    this.references = references;
    this.timing = timing;
    this.latest = latest;
    this.conditions = conditions;
    this.drive = drive;
    this.instruments = instruments;
    this.routing = routing;
    this.clock = clock;
    this.startNanos = startNanos;
    this.events = events;
    this.stop = stop;
    this.beat = beat;
    this.judging = judging;
    this.live = live;
    this.makeSafe = makeSafe;
  }

  /** Why the step was broken off; empty if it was not. */
  String brokenOff() {
    return brokenOff;
  }

  @Override
  public Conditions conditions() {
    return conditions;
  }

  @Override
  public Meter meter(String role) throws InstrumentException {
    return instruments.meter(role);
  }

  @Override
  public Reading read(String role, String function, Duration atMost) throws InstrumentException {
    return instruments.read(role, function, atMost);
  }

  @Override
  public AudioInterface audio(String role) throws InstrumentException {
    return instruments.audio(role, this);
  }

  @Override
  public Quantity load(String channel) throws InstrumentException {
    return Timed.in(timing, Timing.Part.SWITCHING, () -> routing.load(channel));
  }

  @Override
  public List<InputRange> inputRanges() {
    return routing.inputRanges().stream()
        .map(route -> new InputRange(route.name(), Objects.requireNonNull(route.fullScale())))
        .toList();
  }

  @Override
  public void selectInputRange(InputRange range) throws InstrumentException {
    instruments.restAudio();
    switching(() -> routing.inputRange(range.name(), conditions));
  }

  @Override
  public Optional<Calibration> calibration() {
    return routing.calibration();
  }

  @Override
  public Optional<Calibration> papers(String meter) {
    return instruments.papers(meter);
  }

  @Override
  public Optional<Quantity> loadPerKelvin(String route) {
    return routing.loadPerKelvin(route);
  }

  @Override
  public String loadRoute(String channel) {
    return routing.loadRoute(channel);
  }

  @Override
  public Optional<StationResidual> residual() {
    return routing.residual();
  }

  @Override
  public List<StationSpur> spurs() {
    return routing.spurs();
  }

  @Override
  public <T> T rerouted(List<String> routes, Work<T> work)
      throws InstrumentException, InterruptedException {
    List<String> before = exchange(routing.named(routes, conditions));
    // What breaks off goes to the safe state, not back.
    T result = work.run();
    var unused = exchange(before);
    return result;
  }

  private List<String> exchange(List<String> routes) throws InstrumentException {
    instruments.restAudio();
    return Timed.in(timing, Timing.Part.SWITCHING, () -> routing.exchange(routes, conditions));
  }

  @Override
  public <T> Beside<T> readWhilePlaying(
      String meter, String function, Duration from, Duration every, Work<T> work)
      throws InstrumentException, InterruptedException {
    return instruments.readWhilePlaying(meter, function, from, every, work);
  }

  @Override
  public List<Measurement> earlier() {
    return List.copyOf(judging.measured());
  }

  @Override
  public Optional<ReferenceUnit> otherUnit(String name) {
    return references.of(name);
  }

  @Override
  public void mains(Route.Purpose purpose) throws InstrumentException {
    if (purpose != Route.Purpose.MAINS_OFF) {
      live.energised();
    }
    switching(() -> routing.mains(purpose, conditions));
  }

  private void switching(InstrumentCalls.Action work) throws InstrumentException {
    Timed.run(timing, Timing.Part.SWITCHING, work);
  }

  @Override
  public boolean sample(String result, Quantity at, Quantity value) {
    String outside = judging.outside(result, conditions, at, value).orElse("");
    if (!outside.isEmpty()) {
      breakOff(result + " " + outside);
    }
    return outside.isEmpty();
  }

  @Override
  public void breakOff(String why) {
    brokenOff = why;
    makeSafe.accept(why);
  }

  @Override
  public void falling(Quantity rail) {
    live.falling(rail);
  }

  @Override
  public void discharged(String evidence) throws InstrumentException {
    if (!routing.mainsIsOff()) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "a unit with mains on is not discharged");
    }
    instruments.recogniseMeters();
    requireRoutes();
    live.discharged(evidence);
  }

  @Override
  public void notShownDischarged(String why) {
    live.notShown(why);
  }

  /** A meter that has been taken off the rail in the meantime reads nothing of it. */
  private void requireRoutes() throws InstrumentException {
    List<String> missing = Timed.in(timing, Timing.Part.SWITCHING, routing::notAsSelected);
    if (!missing.isEmpty()) {
      throw new InstrumentException(
          InstrumentException.Kind.PROTOCOL,
          "the discharge is not proved: \""
              + String.join("\", \"", missing)
              + "\" is not what the relays are read back as");
    }
  }

  /** The highest power that the step says it drives; 0 if it does not say. */
  @Override
  public double statedWatts() {
    return drive == null ? 0 : drive.power().in(Unit.WATT);
  }

  /** The bench's time. */
  @Override
  public long benchNanos() {
    return clock.nanos();
  }

  @Override
  public Duration elapsed() {
    return Duration.ofNanos(clock.nanos() - startNanos);
  }

  @Override
  public void settled(Duration part) {
    timing.move(Timing.Part.SIGNAL, Timing.Part.SETTLING, part);
  }

  @Override
  public void heard(Heard heard) {
    latest.heard(heard);
  }

  @Override
  public void pause(Duration duration) throws InterruptedException {
    passTime(Timing.Part.WAITING, duration);
  }

  @Override
  public void waitForPerson(Duration duration) throws InterruptedException {
    passTime(Timing.Part.PERSON, duration);
  }

  private void passTime(Timing.Part part, Duration duration) throws InterruptedException {
    var unused =
        timing.<Boolean, RuntimeException>in(
            part,
            () -> {
              passTime(duration);
              return true;
            });
  }

  private void passTime(Duration duration) throws InterruptedException {
    Duration left = duration;
    while (left.compareTo(Duration.ZERO) > 0) {
      beat.run();
      Duration piece = left.compareTo(SLICE) < 0 ? left : SLICE;
      clock.sleep(piece);
      left = left.minus(piece);
    }
    beat.run();
  }

  @Override
  public String danger() {
    return live.danger(routing.mainsIsOff());
  }

  @Override
  public Operator operator(String role) throws InstrumentException {
    return instruments.operator(role);
  }

  @Override
  public void answered(Question question, Answer answer) {
    events.emit(new Event.OperatorAnswered(question.summary(), answer.toString()));
  }

  @Override
  public void stop(String reason) {
    var unused = stop.requestNow(new StopSwitch.Cause(reason, false));
  }

  @Override
  public void notice(String text) {
    events.emit(new Event.Notice(text));
  }
}
