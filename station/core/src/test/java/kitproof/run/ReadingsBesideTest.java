package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A meter that is read while a signal plays. */
class ReadingsBesideTest {
  private static final String STEP =
      """
        - step: rail at power
          procedure: reading-at-power
          conditions: {channel: left, tap: 8 ohm}
          meter: hv-meter
          function: hv
          result: rail at power
          power: 2 W
          settle: 3 s
          count: 4
          every: 100 ms
      """;

  /** On a simulated bench: in turns of its clock. */
  @Nested
  class InTurns {
    private FakeStation station() {
      FakeStation station = new FakeStation();
      station.bench = FakeStation.BENCH + "time: simulated\n";
      station.plan = FakeStation.PLAN.replace("shut-down:\n", STEP + "shut-down:\n");
      station.soundTakesTime = true;
      station.readingTime = Duration.ofMillis(250);
      // The rail sags under a tone that is held, with a time constant of half a second.
      station.amplifier =
          stimulus -> {
            station.railTarget = stimulus.durationSeconds() > 2 ? 300 : 330;
            return FakeStation.timesTwenty(stimulus);
          };
      return station;
    }

    private double value(FakeStation station, String name) {
      return station.events(Event.ResultJudged.class).stream()
          .map(Event.ResultJudged::measurement)
          .filter(m -> m.name().equals(name))
          .map(m -> ((Figure.OfQuantity) m.figure()).quantity().value())
          .findFirst()
          .orElseThrow();
    }

    @Test
    void readsWhatIsThereUnderDrive() throws Exception {
      FakeStation station = station();
      assertThat(station.run()).isEqualTo(Verdict.PASS);
      // 300 V + 30 V·exp(-t / 0.5 s), read from 3.25 s on.
      assertThat(value(station, "rail at power")).isCloseTo(300, within(0.05));
      assertThat(value(station, "hv")).isGreaterThan(325);
      Invariants.check(station, "a meter beside a signal");
    }

    @Test
    void isTheSameInEveryRun() throws Exception {
      FakeStation first = station();
      FakeStation second = station();
      var unused = first.run();
      unused = second.run();
      // The safe state is commanded side by side: which instrument hears of it first is open.
      for (String role : List.of("relays", "audio", "hv-meter")) {
        assertThat(calls(first, role)).isNotEmpty().isEqualTo(calls(second, role));
      }
    }

    private List<String> calls(FakeStation station, String role) {
      return station.calls.all().stream()
          .filter(call -> call.role().equals(role))
          .map(Calls.Call::text)
          .toList();
    }

    @Test
    void aMeterThatFailsBreaksTheSignalOffAndLeavesTheBenchSafe() throws Exception {
      FakeStation before = station();
      var unused = before.run();
      long tone =
          before.calls.all().stream()
              .filter(call -> call.text().startsWith("exchange"))
              .reduce((a, b) -> b)
              .orElseThrow()
              .nanos();
      FakeStation station = station();
      station.meterGoneFrom = tone + Duration.ofMillis(3_100).toNanos();
      assertThat(station.run()).isEqualTo(Verdict.ERROR);
      assertThat(station.outcome("rail at power")).isEqualTo(StepOutcome.ERROR);
      assertThat(station.events(Event.RunEnded.class).get(0).reason()).contains("gone");
      long over =
          station.calls.all().stream()
              .filter(call -> call.role().equals("audio") && call.text().equals("make safe"))
              .filter(call -> call.nanos() > tone)
              .findFirst()
              .orElseThrow()
              .nanos();
      assertThat((over - tone) / 1e9).as("broken off").isBetween(3.2, 3.5);
      Invariants.check(station, "a meter that fails beside a signal");
    }
  }

  /** In real time: on a thread of its own; here that thread alone lets the time pass. */
  @Nested
  @Timeout(20)
  class OnAThreadOfItsOwn {
    private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
    private int reads;

    private ReadingsBeside beside(ReadingsBeside.Source meter) {
      return new ReadingsBeside(
          meter, "power", Duration.ofSeconds(1), Duration.ofMillis(200), clock, null, () -> {});
    }

    /** Readings of 100 ms tell the tenths of a second at which they began. */
    private Reading read(String function) throws InstrumentException {
      double began = clock.nanos() / 1e8;
      try {
        clock.sleep(Duration.ofMillis(100));
      } catch (InterruptedException e) {
        throw new InstrumentException(InstrumentException.Kind.OTHER, "interrupted", e);
      }
      return new Reading.Value(Quantity.of(began, Unit.WATT));
    }

    @Test
    void countsWhatFitsWhereverTheSignalLay() throws Exception {
      ReadingsBeside beside = beside(this::read);
      beside.begin(Duration.ofMillis(2000));
      while (beside.due() < Long.MAX_VALUE) {
        Thread.onSpinWait(); // until no further reading fits
      }
      // It takes 300 ms more than the signal: that was on from 0.3 s to 2 s at least.
      clock.sleep(Duration.ofMillis(2300).minusNanos(clock.nanos()));
      beside.end();
      assertThat(beside.beyondSignal()).isEqualTo(Duration.ofMillis(300));
      assertThat(beside.longestReading()).isEqualTo(Duration.ofMillis(100));
      assertThat(beside.counting())
          .extracting(r -> Math.round(((Reading.Value) r).quantity().value()))
          .containsExactly(14L, 16L, 18L);
    }

    @Test
    void aMeterThatFailsInterruptsWhoWaitsForTheSignal() throws Exception {
      InstrumentException gone =
          new InstrumentException(InstrumentException.Kind.UNREACHABLE, "gone");
      ReadingsBeside beside =
          beside(
              function -> {
                reads++;
                if (reads > 2) {
                  throw gone;
                }
                return read(function);
              });
      beside.begin(Duration.ofSeconds(2));
      while (!Thread.currentThread().isInterrupted()) {
        beside.look();
        Thread.onSpinWait();
      }
      InstrumentException cut =
          new InstrumentException(InstrumentException.Kind.OTHER, "interrupted");
      assertThat(beside.brokenOff(cut)).isSameAs(gone);
      assertThat(Thread.currentThread().isInterrupted()).isFalse();
      assertThat(beside.counting()).isEmpty();
    }

    @Test
    void aMeterThatFailsAtTheVeryEndFailsAllTheSame() throws Exception {
      InstrumentException gone =
          new InstrumentException(InstrumentException.Kind.UNREACHABLE, "gone");
      CountDownLatch failed = new CountDownLatch(1);
      ReadingsBeside beside =
          beside(
              function -> {
                failed.countDown();
                throw gone;
              });
      beside.begin(Duration.ofSeconds(2));
      assertThat(failed.await(10, TimeUnit.SECONDS)).isTrue();
      while (beside.due() < Long.MAX_VALUE) {
        Thread.onSpinWait(); // until the failure is known
      }
      assertThatThrownBy(beside::end).isSameAs(gone);
    }

    @Test
    void whatBreaksTheSignalOffByItselfIsTheCause() {
      ReadingsBeside beside = beside(this::read);
      beside.begin(Duration.ofSeconds(2));
      InstrumentException lost = new InstrumentException(InstrumentException.Kind.OTHER, "lost");
      assertThat(beside.brokenOff(lost)).isSameAs(lost);
    }
  }
}
