package kitproof.driver.simulated;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.driver.Switcher;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.SwitcherContract;
import org.junit.jupiter.api.Test;

/** What an ohm meter sees of the cold unit, and first power through one lamp and through two. */
class ColdUnitTest {
  private static final List<Route> ROUTES =
      List.of(
          SwitcherContract.route("mains two lamps", "mains", "K1"),
          SwitcherContract.route("mains one lamp", "mains", "K1", "K19"),
          SwitcherContract.route("rail", "cold", "K20"),
          SwitcherContract.route("primary", "cold", "K21"),
          SwitcherContract.route("HV winding", "cold", "K22"),
          SwitcherContract.route("heater winding", "cold", "K23"),
          SwitcherContract.route("earth", "cold", "K24"));

  private static final Map<String, String> RELAYS =
      Map.of(
          "K1", "mains",
          "K19", "one-lamp",
          "K20", "cold-rail",
          "K21", "cold-primary",
          "K22", "cold-hv-winding",
          "K23", "cold-heater-winding",
          "K24", "cold-earth");

  private static final Map<String, ?> METER =
      Map.of(
          "bench",
          "linnet-12",
          "functions",
          Map.of(
              "ohms", Map.of("point", "cold-resistance", "range", "10 Mohm"),
              "hv", Map.of("point", "hv"),
              "power", Map.of("point", "mains-power")));

  /** A unit between relays and a meter, with a clock of its own. */
  private record Bed(Roles roles, Switcher switcher, Meter meter) {
    static Bed of(String serial, String fault) throws Exception {
      Roles roles = new Roles(serial);
      Map<String, Object> settings = new HashMap<>(Roles.switcherSettings());
      settings.put("relays", RELAYS);
      settings.put("faults", fault.isEmpty() ? Map.of() : Map.of(serial, fault));
      settings.remove("loads");
      SimulatedBenchProvider provider = new SimulatedBenchProvider();
      return new Bed(
          roles,
          (Switcher)
              provider.open(
                  InstrumentKind.SWITCHER, Nodes.settings(settings), roles.context.routes(ROUTES)),
          (Meter) provider.open(InstrumentKind.METER, Nodes.settings(METER), roles.context));
    }

    void pass(Duration time) throws InterruptedException {
      roles.clock.sleep(time);
    }

    double reads(String function) throws Exception {
      return Roles.value(meter, function);
    }

    /** Long after the leads were put on, so that capacitors are charged. */
    double ohmsAt(String route) throws Exception {
      switcher.select(route);
      pass(Duration.ofMinutes(2));
      return reads("ohms");
    }
  }

  private final Bed good;

  ColdUnitTest() throws Exception {
    good = Bed.of("LN12-001", "");
  }

  @Test
  void eachPointOfAGoodUnitHasItsResistance() throws Exception {
    // What a transformer of this size has, and a bleeder (common practice, no source); a protective
    // earth of at most 0.1 ohm is what IEC 60335-1:2020, 27.5 asks for (from memory).
    assertThat(good.ohmsAt("rail")).isBetween(15e3, 100e3);
    assertThat(good.ohmsAt("primary")).isBetween(4.0, 12.0);
    assertThat(good.ohmsAt("HV winding")).isBetween(40.0, 75.0);
    assertThat(good.ohmsAt("heater winding")).isBetween(0.3, 1.0);
    assertThat(good.ohmsAt("earth")).isBetween(0.01, 0.1);
  }

  @Test
  void onTheRailTheCapacitorsChargeWhileTheMeterLooksOn() throws Exception {
    good.switcher.select("rail");
    double first = good.reads("ohms");
    good.pass(Duration.ofSeconds(2));
    double second = good.reads("ohms");
    double last = good.ohmsAt("rail");
    assertThat(first).isLessThan(second);
    assertThat(second).isLessThan(last);
    good.pass(Duration.ofMinutes(10));
    assertThat(good.reads("ohms")).isCloseTo(last, withinPercentage(3));
  }

  @Test
  void leadsThatAreNowhereAreBeyondAnyRange() throws Exception {
    assertThat(good.meter.read("ohms")).isEqualTo(new Reading.Overload(false));
  }

  @Test
  void aUnitUnderPowerOrNotYetDischargedHasNoResistance() throws Exception {
    good.switcher.select("mains two lamps");
    good.switcher.select("primary");
    good.pass(Duration.ofSeconds(3));
    assertThat(good.meter.read("ohms")).isEqualTo(new Reading.NotANumber());
    good.switcher.openAll();
    good.switcher.select("primary");
    assertThat(good.reads("hv")).isGreaterThan(1);
    assertThat(good.meter.read("ohms")).isEqualTo(new Reading.NotANumber());
  }

  @Test
  void aLooseProtectiveEarthShowsThereAndNowhereElse() throws Exception {
    Bed loose = Bed.of("LN12-001", "protective-earth-loose");
    double tight = good.ohmsAt("earth");
    assertThat(loose.ohmsAt("earth")).isCloseTo(tight + 6, withinPercentage(0.1));
    for (String other : List.of("rail", "primary", "HV winding", "heater winding")) {
      assertThat(loose.ohmsAt(other))
          .as(other)
          .isCloseTo(good.ohmsAt(other), withinPercentage(0.1));
    }
  }

  @Test
  void aShortedSmoothingCapacitorIsNotSeenColdAsItBreaksDownUnderVolts() throws Exception {
    Bed shorted = Bed.of("LN12-001", "smoothing-capacitor-shorted");
    assertThat(shorted.ohmsAt("rail")).isCloseTo(good.ohmsAt("rail"), withinPercentage(0.1));
  }

  @Test
  void oneLampLetsLessThroughThanTwoSideBySide() throws Exception {
    Bed other = Bed.of("LN12-001", "");
    good.switcher.select("mains one lamp");
    other.switcher.select("mains two lamps");
    good.pass(Duration.ofSeconds(20));
    other.pass(Duration.ofSeconds(20));
    double one = good.reads("hv");
    double two = other.reads("hv");
    assertThat(one).isBetween(20.0, 0.9 * two);
    assertThat(good.reads("power")).isLessThan(other.reads("power"));
  }

  @Test
  void aShortBehindOneLampTakesHalfOfWhatItTakesBehindTwo() throws Exception {
    Bed one = Bed.of("LN12-008", "smoothing-capacitor-shorted");
    Bed two = Bed.of("LN12-008", "smoothing-capacitor-shorted");
    one.switcher.select("mains one lamp");
    two.switcher.select("mains two lamps");
    one.pass(Duration.ofSeconds(20));
    two.pass(Duration.ofSeconds(20));
    double watts = one.reads("power");
    // Nearly all of it is in the lamps, of which there are half as many.
    assertThat(watts / two.reads("power")).isBetween(0.4, 0.65);
  }
}
