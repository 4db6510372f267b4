package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import kitproof.driver.Answer;
import kitproof.driver.SimulatedClock;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.operator.Desk;
import org.junit.jupiter.api.Test;

/** Where the seconds of a run go, on a clock that stands still while the station computes. */
class TimingTest {
  @Test
  void everySecondOfTheBenchIsInOnePart() throws Exception {
    FakeStation station = new FakeStation();
    Sequencer sequencer = station.sequencer();
    assertThat(sequencer.run()).isEqualTo(Verdict.PASS);
    Times timing = sequencer.timing().all();
    // The fakes' clock passes only inside calls and pauses.
    assertThat(sumOfParts(timing)).isEqualTo(timing.benchTotal());
    assertThat(timing.benchRest()).isZero();
    // 4 s of the rise, the plan's wait of 2 s, and the discharge to 30 V.
    assertThat(timing.bench(Timing.Part.WAITING)).isGreaterThan(Duration.ofSeconds(8));
    assertThat(timing.bench(Timing.Part.SWITCHING)).isPositive();
    assertThat(timing.bench(Timing.Part.PERSON)).as("the plan asks nobody").isZero();
  }

  @Test
  void theCoolingOfALoadIsCountedOnce() throws Exception {
    Sequencer plain = new FakeStation().sequencer();
    plain.run();
    FakeStation station = new FakeStation();
    station.bench =
        station.bench.replace(
            "load: 8.02 ohm,", "load: 8.02 ohm, rating: 120 mW, rating-time: 2 s,");
    Sequencer sequencer = station.sequencer();
    assertThat(sequencer.run()).isEqualTo(Verdict.PASS);
    Times timing = sequencer.timing().all();
    assertThat(timing.bench(Timing.Part.WAITING))
        .as("loads have cooled")
        .isGreaterThan(plain.timing().all().bench(Timing.Part.WAITING));
    // benchRest() would be zero as well if a second were in two parts.
    assertThat(sumOfParts(timing)).isEqualTo(timing.benchTotal());
  }

  private static Duration sumOfParts(Times timing) {
    return Arrays.stream(Timing.Part.values())
        .map(timing::bench)
        .reduce(Duration.ZERO, Duration::plus);
  }

  /** The person answers after 30 s of the bench's time. */
  @Test
  void whileAQuestionStandsThePersonIsWaitedFor() throws Exception {
    Times timing = withPerson("{step: connect, procedure: prompt, say: connect the unit}");
    assertThat(timing.bench(Timing.Part.PERSON))
        .isBetween(Duration.ofSeconds(30), Duration.ofSeconds(31));
    assertThat(timing.benchRest()).isZero();
  }

  @Test
  void anAdjustmentIsWaitingForAPersonFromOneReadingToTheNext() throws Exception {
    // The rail stays where it is, far outside, until the step gives up.
    Times timing =
        withPerson(
            "{step: set, procedure: adjust, say: turn, control: trimmer, meter: hv-meter,"
                + " function: hv, result: set, window: 1 V..2 V, give-up-after: 20 s}");
    assertThat(timing.bench(Timing.Part.PERSON))
        .isBetween(Duration.ofSeconds(20), Duration.ofSeconds(21));
    assertThat(timing.benchRest()).isZero();
  }

  /** The same run without a question waits as long as the plan says, and no longer. */
  private static Times withPerson(String step) throws Exception {
    AtomicLong asked = new AtomicLong(-1);
    Sequencer plain = new FakeStation().sequencer();
    plain.run();
    FakeStation station = new FakeStation();
    station.bench += "  operator: {driver: fake, kind: operator}\n";
    station.plan = station.plan.replace("  - repeat:", "  - " + step + "\n  - repeat:");
    station.ticker = () -> answered(station, asked);
    Sequencer sequencer = station.sequencer();
    sequencer.run();
    Times timing = sequencer.timing().all();
    assertThat(timing.bench(Timing.Part.WAITING))
        .isEqualTo(plain.timing().all().bench(Timing.Part.WAITING));
    return timing;
  }

  /** Looks at the desk whenever the run looks at the real clock. */
  private static long answered(FakeStation station, AtomicLong asked) {
    long now = station.clock.nanos();
    Optional<Desk.Standing> standing = station.desk.standing();
    if (standing.isPresent() && !asked.compareAndSet(-1, now) && now - asked.get() >= 30e9) {
      var unused = station.desk.answer(standing.get().number(), new Answer.Done());
    }
    return System.nanoTime();
  }

  @Test
  void whatASignalTakesBeyondItsLengthIsTheInterfacesAlsoIfAnotherWasBrokenOff() throws Exception {
    SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
    Timing timing = new Timing(clock, clock::nanos);
    var unused = timing.playing(Duration.ofSeconds(2), () -> passed(clock, 3));
    assertThatThrownBy(
            () ->
                timing.playing(
                    Duration.ofSeconds(2),
                    () -> {
                      var unusedToo = passed(clock, 1);
                      throw new IOException("broken off");
                    }))
        .isInstanceOf(IOException.class);
    assertThat(timing.all().bench(Timing.Part.SIGNAL)).isEqualTo(Duration.ofSeconds(3));
    assertThat(timing.all().bench(Timing.Part.INTERFACE)).isEqualTo(Duration.ofSeconds(1));
    assertThat(timing.all().real(Timing.Part.SIGNAL)).isEqualTo(Duration.ofSeconds(3));
  }

  private static boolean passed(SimulatedClock clock, int seconds) throws InterruptedException {
    clock.sleep(Duration.ofSeconds(seconds));
    return true;
  }

  @Test
  void ofEachToneTheLeadIsSettlingAndTheBlockIsSignal() throws Exception {
    FakeStation station = new FakeStation();
    Sequencer sequencer = station.sequencer();
    sequencer.run();
    Times timing = sequencer.timing().all();
    Duration settling = timing.bench(Timing.Part.SETTLING);
    Duration signal = timing.bench(Timing.Part.SIGNAL);
    // A unit that settles at once has 55 ms in the first shot of a step and 35 ms in the others,
    // the way back to silence included; the shortest block lasts 85 ms, the distortion's 125 ms.
    assertThat(settling)
        .isBetween(signal.multipliedBy(35).dividedBy(125), signal.multipliedBy(55).dividedBy(85));
  }

  @Test
  void everyStepHasItsOwnTimesAndTheyAreInTheTotal() throws Exception {
    FakeStation station = new FakeStation();
    Sequencer sequencer = station.sequencer();
    sequencer.run();
    Times sum =
        sequencer.timing().steps().stream()
            .map(Timing.StepTimes::times)
            .reduce(Times.NONE, Times::plus);
    Times all = sequencer.timing().all();
    assertThat(sequencer.timing().steps()).hasSameSizeAs(station.events(Event.StepFinished.class));
    // Signals are played in steps only; relays also move before the first and after the last.
    assertThat(sum.bench(Timing.Part.SIGNAL)).isPositive().isEqualTo(all.bench(Timing.Part.SIGNAL));
    assertThat(sum.bench(Timing.Part.WAITING)).isEqualTo(all.bench(Timing.Part.WAITING));
    assertThat(sum.bench(Timing.Part.SWITCHING))
        .isPositive()
        .isLessThanOrEqualTo(all.bench(Timing.Part.SWITCHING));
    assertThat(sum.benchTotal()).isLessThanOrEqualTo(all.benchTotal());
  }

  @Test
  void computingIsTheRealTimeThatIsInNoPart() throws Exception {
    long[] real = {0};
    FakeStation station = new FakeStation();
    station.ticker = () -> real[0] += 1_000_000; // each look at the clock takes a millisecond
    station.deadlines = FakeStation.LONG;
    Sequencer sequencer = station.sequencer();
    sequencer.run();
    Times timing = sequencer.timing().all();
    Duration parts =
        Arrays.stream(Timing.Part.values()).map(timing::real).reduce(Duration.ZERO, Duration::plus);
    assertThat(timing.computing()).isEqualTo(timing.realTotal().minus(parts)).isPositive();
  }
}
