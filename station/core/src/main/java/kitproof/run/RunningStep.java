package kitproof.run;

import java.time.Duration;
import java.util.function.Consumer;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Route;
import kitproof.event.Event;
import kitproof.procedure.StepBench;
import kitproof.value.Conditions;
import kitproof.value.Quantity;

/** The bench as one running step sees it. */
final class RunningStep implements StepBench {
  /** Sleeps are cut into pieces of bench time, each a sign of life. */
  private static final Duration SLICE = Duration.ofMillis(200);

  private final Conditions conditions;
  private final OpenBench bench;
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

  RunningStep(
      Conditions conditions,
      OpenBench bench,
      Routing routing,
      BenchClock clock,
      long startNanos,
      RunEvents events,
      StopSwitch stop,
      Runnable beat,
      Judging judging,
      LiveUnit live,
      Consumer<String> makeSafe) {
    this.conditions = conditions;
    this.bench = bench;
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
    return bench.in(role, InstrumentKind.METER).meter();
  }

  @Override
  public AudioInterface audio(String role) throws InstrumentException {
    return bench.in(role, InstrumentKind.AUDIO_INTERFACE).audio();
  }

  @Override
  public Quantity load(String channel) throws InstrumentException {
    return routing.load(channel);
  }

  @Override
  public void mains(Route.Purpose purpose) throws InstrumentException {
    if (purpose != Route.Purpose.MAINS_OFF) {
      live.energised();
    }
    routing.mains(purpose, conditions);
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
  public void discharged(String evidence) throws InstrumentException {
    if (!routing.mainsIsOff()) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "a unit with mains on is not discharged");
    }
    live.discharged(evidence);
  }

  @Override
  public Duration elapsed() {
    return Duration.ofNanos(clock.nanos() - startNanos);
  }

  @Override
  public void pause(Duration duration) throws InterruptedException {
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
  public Operator operator(String role) throws InstrumentException {
    return bench.in(role, InstrumentKind.OPERATOR).operator();
  }

  @Override
  public void answered(Question question, Answer answer) {
    events.emit(new Event.OperatorAnswered(question.summary(), answer.toString()));
  }

  @Override
  public void stop(String reason) {
    stop.request(new StopSwitch.Cause(reason, false));
  }

  @Override
  public void notice(String text) {
    events.emit(new Event.Notice(text));
  }
}
