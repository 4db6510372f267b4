package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import kitproof.driver.InstrumentException;
import kitproof.driver.SimulatedClock;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.plan.LoadRating;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** A load warms and cools as a capacitor charges and discharges. */
class HeatBudgetTest {
  private static final long SECOND = 1_000_000_000L;

  private final HeatBudget heat =
      new HeatBudget(
          Map.of("load", new LoadRating(Quantity.of(50, Unit.WATT), Duration.ofSeconds(60))));

  @Test
  void theAverageFollowsThePowerExponentially() {
    heat.taken("load", 100, 60, 60 * SECOND);
    assertThat(heat.meanWatts("load", 60 * SECOND))
        .isCloseTo(100 * (1 - Math.exp(-1)), within(1e-9));
    assertThat(heat.meanWatts("load", 120 * SECOND))
        .isCloseTo(100 * (1 - Math.exp(-1)) * Math.exp(-1), within(1e-9));
  }

  @Test
  void whatWouldBeTooHotWaitsJustLongEnough() throws Exception {
    assertThat(heat.coolingBefore("load", 100, 30, 0)).isZero(); // 100 W · (1 − e^(−0.5)) = 39.3 W
    heat.taken("load", 100, 30, 30 * SECOND);
    Duration wait = heat.coolingBefore("load", 100, 30, 30 * SECOND);
    assertThat(wait).isPositive();
    long after = 30 * SECOND + wait.toNanos() + 30 * SECOND;
    heat.taken("load", 100, 30, after);
    assertThat(heat.meanWatts("load", after)).isCloseTo(50, within(1e-6));
  }

  @Test
  void whatEvenAColdLoadDoesNotStandIsRefused() {
    assertThatThrownBy(() -> heat.coolingBefore("load", 100, 60, 0))
        .isInstanceOf(InstrumentException.class)
        .hasMessage("load \"load\" would take 100.0 W for 60.0 s; it stands 50 W over 60 s");
  }

  /** R1 is on the 4 ohm tap by one relay, on the 8 ohm tap by another. */
  @Test
  void routesToOneResistorShareItsHeat() {
    LoadRating shared = new LoadRating(Quantity.of(50, Unit.WATT), Duration.ofSeconds(60), "R1");
    HeatBudget one = new HeatBudget(Map.of("4 ohm tap", shared, "8 ohm tap", shared));
    one.taken("4 ohm tap", 100, 30, 30 * SECOND);
    double warm = 100 * (1 - Math.exp(-0.5));
    assertThat(one.meanWatts("8 ohm tap", 30 * SECOND)).isCloseTo(warm, within(1e-9));
    one.taken("8 ohm tap", 10, 60, 90 * SECOND);
    assertThat(one.meanWatts("4 ohm tap", 90 * SECOND))
        .isCloseTo(10 + (warm - 10) * Math.exp(-1), within(1e-9));
  }

  @Test
  void theNextRunFindsALoadAsHotAsTheLastOneLeftIt() throws Exception {
    Map<String, LoadRating> ratings =
        Map.of("load", new LoadRating(Quantity.of(50, Unit.WATT), Duration.ofSeconds(60)));
    Instant morning = Instant.parse("2026-11-25T10:15:00Z");
    HeatBooks books = new HeatBooks();
    FakeStation station = new FakeStation();
    SimulatedClock first = new SimulatedClock(morning);
    HeatBudget before = new HeatBudget(ratings, books.of(station.bench()), first);
    first.sleep(Duration.ofSeconds(60));
    before.taken("load", 100, 60, first.nanos());

    SimulatedClock second = new SimulatedClock(morning.plusSeconds(90)); // half a minute later
    HeatBudget after = new HeatBudget(ratings, books.of(station.bench()), second);
    assertThat(after.meanWatts("load", second.nanos()))
        .isCloseTo(100 * (1 - Math.exp(-1)) * Math.exp(-0.5), within(1e-6));

    station.bench = station.bench.replace("roles:\n", "time: simulated\nroles:\n");
    HeatBudget simulated = new HeatBudget(ratings, books.of(station.bench()), second);
    assertThat(simulated.meanWatts("load", second.nanos())).isZero();
  }

  @Test
  void aRunWaitsForALoadThatIsTooHot() throws Exception {
    FakeStation station = new FakeStation();
    station.bench =
        station.bench.replace(
            "load: 8.02 ohm,", "load: 8.02 ohm, rating: 120 mW, rating-time: 2 s,");
    assertThat(station.run()).isEqualTo(Verdict.PASS);
    assertThat(station.events(Event.Notice.class))
        .isNotEmpty()
        .allSatisfy(n -> assertThat(n.text()).startsWith("load \"left 8 ohm tap\" cools for "));
    Invariants.check(station, "hot load");
  }
}
