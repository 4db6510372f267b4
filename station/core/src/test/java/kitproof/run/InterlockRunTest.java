package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Interlocks beside whole runs on a simulated clock. */
class InterlockRunTest {
  private static final int RUNS = 150;

  private static FakeStation station(String interlocks) {
    FakeStation station = new FakeStation();
    station.bench = station.bench.replace("roles:\n", "time: simulated\nroles:\n");
    station.plan += "interlocks:\n" + interlocks;
    return station;
  }

  private static String hv(long withinMillis, long everyMillis) {
    return String.format(
        Locale.ROOT,
        "  - {interlock: HV rail, meter: hv-meter, function: hv, high: 400 V, within: %d ms,"
            + " every: %d ms}%n",
        withinMillis,
        everyMillis);
  }

  private static List<Event.InterlockTripped> trips(FakeStation station) {
    return station.events(Event.InterlockTripped.class);
  }

  @Test
  void aGoodUnitPassesUnderInterlocks() throws Exception {
    FakeStation station = station(hv(500, 100));
    station.readingTime = Duration.ofMillis(60);
    assertThat(station.run()).isEqualTo(Verdict.PASS);
    assertThat(trips(station)).isEmpty();
    Invariants.check(station, "good unit");
  }

  @Test
  void aRailThatRisesTooFarAbortsTheRunWithTheReading() throws Exception {
    FakeStation station = station(hv(500, 100));
    station.excursionFrom = Duration.ofSeconds(5).toNanos(); // while step "rail" waits
    assertThat(station.run()).isEqualTo(Verdict.ABORTED);
    Event.InterlockTripped trip = trips(station).get(0);
    assertThat(trip.interlock()).isEqualTo("HV rail");
    assertThat(trip.reading()).isNotNull();
    assertThat(trip.reading()).isGreaterThan(Quantity.of(400, Unit.VOLT));
    Event.RunEnded end = station.events(Event.RunEnded.class).get(0);
    assertThat(end.reason())
        .startsWith("interlock \"HV rail\" tripped: hv-meter hv ")
        .endsWith("is above 400 V, in step rail");
    assertThat(station.outcome("rail")).isEqualTo(StepOutcome.ABORTED);
    assertThat(station.outcome("gain")).isEqualTo(StepOutcome.SKIPPED);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    Invariants.check(station, "excursion");
  }

  @Test
  void aBandInAnotherUnitThanTheMeterReadsEndsTheRunBeforeAnyMains() throws Exception {
    FakeStation station =
        station(
            "  - {interlock: HV rail, meter: hv-meter, function: hv, high: 400 mA, within: 2 s}\n");
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .isEqualTo("interlock \"HV rail\" at 400 mA on hv-meter hv, which reads V");
    assertThat(station.events(Event.StepStarted.class)).isEmpty();
    assertThat(station.board.moments()).allMatch(relays -> !relays.energised().contains("K1"));
    Invariants.check(station, "another unit");
  }

  @Test
  void anotherMeterThatOnlyAnInterlockReadsIsNoticedAtTheEndOfTheStep() throws Exception {
    FakeStation station = station(hv(2000, 500).replace("}", ", from-step: gain}"));
    station.plan = station.plan.replace("wait: 2 s", "wait: 20 s");
    station.sink =
        event -> {
          if (event instanceof Event.StepStarted step && step.step().equals("gain")) {
            station.meter.exchange();
          }
          return station.keep(event);
        };
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .contains("another instrument answers");
    assertThat(station.outcome("gain")).isEqualTo(StepOutcome.ERROR);
    Invariants.check(station, "exchanged under an interlock");
  }

  @Test
  void aMeterExchangedInAStepIsNoticedBeforeItsReadingsCount() throws Exception {
    FakeStation station = new FakeStation();
    station.sink =
        event -> {
          if (event instanceof Event.StepStarted step && step.step().equals("rail")) {
            station.meter.exchange();
          }
          return station.keep(event);
        };
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .isEqualTo("hv-meter: another instrument answers, not Fake meter hv-meter 1");
    assertThat(station.events(Event.ResultJudged.class))
        .noneMatch(result -> result.measurement().name().equals("hv"));
    assertThat(station.events(Event.OpeningTold.class).stream().map(Event.OpeningTold::safeToOpen))
        .as("the other one's readings do not prove the discharge")
        .containsExactly(SafeToOpen.NO, SafeToOpen.UNKNOWN);
    Invariants.check(station, "exchanged");
  }

  @Test
  void theSameRunTripsAtTheSameMomentOfBenchTime() throws Exception {
    long first = 0;
    for (int i = 0; i < 5; i++) {
      FakeStation station = station(hv(500, 100));
      station.readingTime = Duration.ofMillis(35);
      station.excursionFrom = Duration.ofMillis(6789).toNanos();
      assertThat(station.run()).isEqualTo(Verdict.ABORTED);
      long off = mainsOffAfter(station, station.excursionFrom);
      assertThat(first == 0 || off == first).as("%d and %d", first, off).isTrue();
      first = off;
    }
  }

  @Test
  void anExcursionAtAnyTimeTripsInTimeAndNothingElseTrips() throws Exception {
    int tripped = 0;
    for (int seed = 0; seed < RUNS; seed++) {
      Random random = new Random(seed);
      long within = 200 + random.nextInt(1800);
      long every = 10 + random.nextInt((int) within / 4);
      FakeStation station = station(hv(within, every));
      station.readingTime = Duration.ofMillis(random.nextInt((int) within / 8));
      station.soundTakesTime = true;
      station.excursionFrom = Math.round(random.nextDouble() * 9e9);
      String about =
          String.format(
              Locale.ROOT,
              "seed %d: within %d ms, every %d ms, readings of %s, from %.4f s",
              seed,
              within,
              every,
              station.readingTime,
              station.excursionFrom / 1e9);
      Verdict verdict = station.run();
      Invariants.check(station, about);
      if (verdict == Verdict.PASS) {
        // The unit was off again before it could happen.
        assertThat(trips(station)).as(about).isEmpty();
        assertThat(station.excursionSeen).as(about).isFalse();
        continue;
      }
      tripped++;
      assertThat(verdict).as(about).isEqualTo(Verdict.ABORTED);
      assertThat(trips(station)).as(about).hasSize(1);
      long since = Math.max(station.excursionFrom, mainsOn(station));
      long took = mainsOffAfter(station, since) - since;
      assertThat(took / 1e6).as(about).isLessThanOrEqualTo(within);
      assertThat(trips(station).get(0).reaction()).as(about).isLessThan(Duration.ofMillis(within));
    }
    assertThat(tripped).isGreaterThan(RUNS / 3);
  }

  private static long mainsOn(FakeStation station) {
    return station.board.moments().stream()
        .filter(m -> m.energised().contains("K1"))
        .findFirst()
        .orElseThrow()
        .nanos();
  }

  private static long mainsOffAfter(FakeStation station, long since) {
    return station.board.moments().stream()
        .filter(m -> m.nanos() >= since && !m.energised().contains("K1"))
        .mapToLong(FakeRelayBoard.Moment::nanos)
        .min()
        .orElseThrow();
  }

  @Test
  void aMeterThatFailsUnderAnInterlockIsAnErrorAndTheUnitIsCalledLive() throws Exception {
    FakeStation station = station(hv(500, 100));
    station.meterGoneFrom = Duration.ofSeconds(7).toNanos();
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason()).contains("hv-meter: ");
    List<Event.OpeningTold> told = station.events(Event.OpeningTold.class);
    assertThat(told.stream().map(Event.OpeningTold::safeToOpen))
        .containsExactly(SafeToOpen.NO, SafeToOpen.UNKNOWN);
    Invariants.check(station, "meter gone");
  }

  @Test
  void aMeterThatOnlySaysItHasNoNumberTripsAsStale() throws Exception {
    FakeStation station = station(hv(500, 100));
    station.noNumberFrom = Duration.ofSeconds(5).toNanos();
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    Event.InterlockTripped trip = trips(station).get(0);
    assertThat(trip.reason()).contains("has given no reading for");
    assertThat(trip.reading()).isNull();
    long off = mainsOffAfter(station, station.noNumberFrom);
    assertThat((off - station.noNumberFrom) / 1e6).isLessThanOrEqualTo(500);
    Invariants.check(station, "no number");
  }

  @Test
  void aRailOutsideItsMaskLosesTheMainsDuringTheRiseAndTheUnitFails() throws Exception {
    FakeStation station = new FakeStation();
    station.railTarget = 20;
    station.limits =
        station.limits.replace(
            "{at: 1500 ms, low: 50 V}, {at: 4 s, low: 50 V}",
            "{at: 0 s, high: 420 V}, {at: 1 s, low: 50 V, high: 420 V},"
                + " {at: 4 s, low: 200 V, high: 420 V}");
    assertThat(station.run()).isEqualTo(Verdict.FAIL);
    Event.ResultJudged rise = station.events(Event.ResultJudged.class).get(0);
    assertThat(rise.measurement().name()).isEqualTo("supply rise");
    // 20 V · (1 − e^(−1.02 s / 0.5 s)): the relay closed 20 ms before it had settled.
    assertThat(rise.judgement().detail()).isEqualTo("at 1 s 17.4 V is below 50 V, worst by 32.6 V");
    assertThat(mainsOffAfter(station, 1) / 1e9).isLessThan(1.2);
    assertThat(station.outcome("first power")).isEqualTo(StepOutcome.FAILED);
    assertThat(station.outcome("rail")).isEqualTo(StepOutcome.SKIPPED);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    assertThat(station.events(Event.SafeState.class).get(1).cause())
        .isEqualTo("supply rise at 1 s 17.4 V is below 50 V, worst by 32.6 V");
    Invariants.check(station, "short");
  }
}
