package kitproof.interlock;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** What one interlock remembers and when it trips, without clock and threads. */
class WatchTest {
  private static final long MS = 1_000_000;
  private static final Situation DIRECT =
      new Situation(Route.Purpose.MAINS_DIRECT, 3, List.of(Conditions.of("point", "V3")));

  private static Interlock interlock(Set<Route.Purpose> mains, Conditions when, long afterMillis) {
    return interlock(mains, when, afterMillis, null);
  }

  private static Interlock interlock(
      Set<Route.Purpose> mains,
      Conditions when,
      long afterMillis,
      Interlock.@Nullable Budget budget) {
    return new Interlock(
        Location.of("plan.yaml"),
        "HV rail",
        "hv-meter",
        "hv",
        Quantity.of(100, Unit.VOLT),
        Quantity.of(420, Unit.VOLT),
        Duration.ofMillis(1000),
        Duration.ofMillis(250),
        Duration.ofMillis(afterMillis),
        mains,
        when,
        1,
        5,
        budget);
  }

  private static Watch watch() {
    return new Watch(interlock(Set.of(Route.Purpose.MAINS_DIRECT), Conditions.NONE, 0));
  }

  private static Reading volts(double volts) {
    return new Reading.Value(Quantity.of(volts, Unit.VOLT));
  }

  @Test
  void aValueOutsideTripsWithTheReadingAndTheEndsBelongToTheBand() {
    Watch watch = watch();
    watch.enter(DIRECT, 0);
    assertThat(watch.take(volts(420), 10 * MS)).isEmpty();
    assertThat(watch.take(volts(100), 20 * MS)).isEmpty();
    Trip high = watch.take(volts(455), 30 * MS).orElseThrow();
    assertThat(high.reason())
        .isEqualTo("interlock \"HV rail\" tripped: hv-meter hv 455 V is above 420 V");
    assertThat(high.reading()).isEqualTo(Quantity.of(455, Unit.VOLT));
    assertThat(high.stationAtFault()).isFalse();
    assertThat(watch.take(volts(99.9), 40 * MS).orElseThrow().why())
        .isEqualTo("hv-meter hv 99.9 V is below 100 V");
  }

  @Test
  void anOverloadLiesBeyondTheEndOfItsSign() {
    Watch watch = watch();
    watch.enter(DIRECT, 0);
    assertThat(watch.take(new Reading.Overload(false), 1).orElseThrow().why())
        .isEqualTo("hv-meter hv shows overload");
    assertThat(watch.take(new Reading.Overload(true), 1).orElseThrow().why())
        .isEqualTo("hv-meter hv shows overload, negative");
  }

  @Test
  void anotherUnitThanTheBandsIsNeverGood() {
    Watch watch = watch();
    watch.enter(DIRECT, 0);
    assertThat(watch.take(new Reading.Value(Quantity.of(200, Unit.WATT)), 1)).isPresent();
  }

  @Test
  void aReadingThatStaysAwayIsATripBeforeTheTimeIsUp() {
    Watch watch = watch();
    watch.enter(DIRECT, 0);
    assertThat(watch.take(volts(330), 100 * MS)).isEmpty();
    assertThat(watch.take(new Reading.NotANumber(), 500 * MS)).isEmpty();
    assertThat(watch.look(1000 * MS)).isEmpty();
    Trip trip = watch.look(1000 * MS + 1).orElseThrow();
    assertThat(trip.stationAtFault()).isTrue();
    assertThat(trip.why())
        .isEqualTo("hv-meter hv has given no reading for 900 ms; it must not be older than 900 ms");
  }

  @Test
  void itIsArmedOnlyInItsSituation() {
    Watch watch =
        new Watch(interlock(Set.of(Route.Purpose.MAINS_DIRECT), Conditions.of("point", "V3"), 0));
    for (Situation other :
        List.of(
            DIRECT.with(Route.Purpose.MAINS_LIMITED),
            new Situation(Route.Purpose.MAINS_DIRECT, 0, DIRECT.conditions()),
            new Situation(Route.Purpose.MAINS_DIRECT, 6, DIRECT.conditions()),
            new Situation(Route.Purpose.MAINS_DIRECT, 3, List.of(Conditions.NONE)),
            // while the routes change, both must fit
            new Situation(
                Route.Purpose.MAINS_DIRECT,
                3,
                List.of(Conditions.of("point", "V4"), Conditions.of("point", "V3"))))) {
      watch.enter(DIRECT, 0);
      assertThat(watch.readingDue()).isZero();
      watch.enter(other, 5 * MS);
      assertThat(watch.readingDue()).as("%s", other).isEqualTo(Long.MAX_VALUE);
      assertThat(watch.take(volts(999), 6 * MS)).isEmpty();
      assertThat(watch.look(Long.MAX_VALUE)).isEmpty();
      assertThat(watch.failed("gone", 6 * MS)).isEmpty();
    }
  }

  @Test
  void aReadingFromBeforeItWasArmedIsOfAnotherSituation() {
    Watch watch = watch();
    watch.enter(DIRECT, 10 * MS);
    assertThat(watch.take(volts(999), 9 * MS)).isEmpty();
    assertThat(watch.take(volts(999), 10 * MS)).isPresent();
  }

  @Test
  void whatRushesInIsNotJudgedButMustBeRead() {
    Watch watch = new Watch(interlock(Set.of(Route.Purpose.MAINS_DIRECT), Conditions.NONE, 2000));
    watch.enter(DIRECT, 0);
    assertThat(watch.take(volts(5), 0)).isEmpty();
    assertThat(watch.look(901 * MS)).isPresent();
    assertThat(watch.take(volts(5), 1000 * MS)).isEmpty();
    assertThat(watch.look(1800 * MS)).isEmpty();
    assertThat(watch.take(volts(5), 2000 * MS)).isPresent();
  }

  @Test
  void aReadingOfAStepPutsTheOwnOneOff() {
    Watch watch = watch();
    watch.enter(DIRECT, 0);
    assertThat(watch.readingDue()).isZero();
    watch.take(volts(330), 40 * MS);
    assertThat(watch.readingDue()).isEqualTo(290 * MS);
  }

  /** A valve stands more than its highest dissipation for a while. */
  @Test
  void whatIsStoodForAWhileTripsWhenThatIsOverAndBeginsAnewAfterARest() {
    Interlock.Budget budget =
        new Interlock.Budget(Quantity.of(380, Unit.VOLT), Duration.ofMillis(600));
    Watch watch =
        new Watch(interlock(Set.of(Route.Purpose.MAINS_DIRECT), Conditions.NONE, 0, budget));
    watch.enter(DIRECT, 0);
    assertThat(watch.take(volts(390), 100 * MS)).isEmpty();
    assertThat(watch.take(volts(410), 600 * MS)).isEmpty();
    assertThat(watch.take(volts(380), 650 * MS)).as("not beyond it").isEmpty();
    assertThat(watch.take(volts(390), 700 * MS)).isEmpty();
    assertThat(watch.take(new Reading.NotANumber(), 900 * MS)).isEmpty();
    assertThat(watch.take(volts(390), 1300 * MS)).isEmpty();
    Trip trip = watch.take(volts(390), 1301 * MS).orElseThrow();
    assertThat(trip.why())
        .isEqualTo("hv-meter hv has been above 380 V for 601 ms; that is stood for 600 ms");
    assertThat(trip.reading()).isEqualTo(Quantity.of(390, Unit.VOLT));
    assertThat(trip.stationAtFault()).isFalse();
    assertThat(watch.take(volts(421), 1302 * MS).orElseThrow().why()).contains("is above 420 V");
  }

  @Test
  void aMeterThatFailsIsTheStationsFault() {
    Watch watch = watch();
    watch.enter(DIRECT, 0);
    assertThat(watch.failed("hv-meter: unplugged", 1).orElseThrow().stationAtFault()).isTrue();
  }
}
