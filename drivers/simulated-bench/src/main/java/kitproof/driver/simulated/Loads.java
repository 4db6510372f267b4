package kitproof.driver.simulated;

import java.util.EnumMap;
import java.util.Map;
import java.util.Set;
import kitproof.driver.Settings;
import kitproof.driver.simulated.unit.Connections;
import kitproof.driver.simulated.unit.Connections.Cold;
import kitproof.driver.simulated.unit.Connections.Probe;
import kitproof.driver.simulated.unit.Output;
import kitproof.driver.simulated.unit.Output.Tap;
import kitproof.value.Unit;

/**
 * The bench's resistors and capacitor, and what the relays make of them.
 *
 * @param left the resistors on the left taps, ohms
 * @param right the same on the right
 * @param second ohms that the second-load relays put in parallel
 * @param capacitor farads that the capacitor relays put across the load
 * @param series ohms that the input-series relay puts before both inputs
 * @param check ohms of the check standard
 */
record Loads(Taps left, Taps right, double second, double capacitor, double series, double check) {
  /** A load on each tap, ohms. */
  record Taps(double four, double eight, double sixteen) {}

  /** Reads the keys of a switcher's settings. */
  static Loads read(Settings settings) {
    Settings loads = settings.part("loads");
    return new Loads(
        new Taps(
            positive(loads, "left-4-ohm", Unit.OHM, 4.01),
            positive(loads, "left-8-ohm", Unit.OHM, 8.02),
            positive(loads, "left-16-ohm", Unit.OHM, 16.05)),
        new Taps(
            positive(loads, "right-4-ohm", Unit.OHM, 3.99),
            positive(loads, "right-8-ohm", Unit.OHM, 8.01),
            positive(loads, "right-16-ohm", Unit.OHM, 15.98)),
        positive(settings, "second-load", Unit.OHM, 20),
        positive(settings, "load-capacitor", Unit.FARAD, 100e-9),
        positive(settings, "series-resistor", Unit.OHM, 47e3),
        positive(settings, "check-resistor", Unit.OHM, 10));
  }

  /** What a meter finds at each resistor of the bench while these are energised, ohms. */
  Map<Point, Double> resistances(Set<Wiring> on) {
    boolean shorted = on.contains(Wiring.LEADS_SHORTED);
    Connections now = connections(on);
    Map<Point, Double> ohms = new EnumMap<>(Point.class);
    ohms.put(Point.LOAD_LEFT, now.left().load());
    ohms.put(Point.LOAD_RIGHT, now.right().load());
    ohms.put(Point.SERIES_RESISTOR, series);
    ohms.put(
        Point.CHECK_RESISTOR,
        on.contains(Wiring.CHECK_RESISTOR) ? check : Double.POSITIVE_INFINITY);
    if (shorted) {
      ohms.replaceAll((point, resistance) -> 0.0);
    }
    return ohms;
  }

  private static double positive(Settings settings, String key, Unit unit, double initial) {
    double value = settings.quantity(key, unit, initial).value();
    if (value <= 0) {
      settings.reject(key, "more than zero");
      return initial;
    }
    return value;
  }

  /** What the unit is connected to while these are energised, by contacts without resistance. */
  Connections connections(Set<Wiring> on) {
    return connections(on, 0, 0);
  }

  /**
   * What the unit is connected to while these are energised.
   *
   * @param leftContact ohms between the left terminals and their load
   * @param rightContact the same on the right
   */
  Connections connections(Set<Wiring> on, double leftContact, double rightContact) {
    return new Connections(
        on.contains(Wiring.MAINS),
        on.contains(Wiring.LIMITER_BYPASS),
        output(
            left,
            on.contains(Wiring.LEFT_4_OHM),
            on.contains(Wiring.LEFT_16_OHM),
            on.contains(Wiring.LEFT_SECOND_LOAD),
            on.contains(Wiring.LEFT_CAPACITOR),
            on.contains(Wiring.LEFT_OPEN),
            leftContact),
        output(
            right,
            on.contains(Wiring.RIGHT_4_OHM),
            on.contains(Wiring.RIGHT_16_OHM),
            on.contains(Wiring.RIGHT_SECOND_LOAD),
            on.contains(Wiring.RIGHT_CAPACITOR),
            on.contains(Wiring.RIGHT_OPEN),
            rightContact),
        on.contains(Wiring.DRIVE_LEFT),
        on.contains(Wiring.DRIVE_RIGHT),
        on.contains(Wiring.INPUT_SERIES) ? series : 0,
        on.contains(Wiring.TRIODE),
        probe(on),
        on.contains(Wiring.ONE_LAMP),
        cold(on));
  }

  private static Cold cold(Set<Wiring> on) {
    if (on.contains(Wiring.COLD_RAIL)) {
      return Cold.RAIL;
    }
    if (on.contains(Wiring.COLD_PRIMARY)) {
      return Cold.PRIMARY;
    }
    if (on.contains(Wiring.COLD_HV_WINDING)) {
      return Cold.HV_WINDING;
    }
    if (on.contains(Wiring.COLD_HEATER_WINDING)) {
      return Cold.HEATER_WINDING;
    }
    return on.contains(Wiring.COLD_EARTH) ? Cold.EARTH : Cold.OFF;
  }

  private Output output(
      Taps taps,
      boolean four,
      boolean sixteen,
      boolean parallel,
      boolean across,
      boolean open,
      double contact) {
    // The 4 ohm relay comes first in the wiring: it wins over the 16 ohm relay.
    Tap tap = four ? Tap.FOUR : sixteen ? Tap.SIXTEEN : Tap.EIGHT;
    double load = four ? taps.four() : sixteen ? taps.sixteen() : taps.eight();
    if (parallel) {
      load = 1 / (1 / load + 1 / second);
    }
    return new Output(
        tap, open ? Double.POSITIVE_INFINITY : load + contact, across ? capacitor : 0);
  }

  private static Probe probe(Set<Wiring> on) {
    if (on.contains(Wiring.PROBE_HEATER)) {
      return Probe.HEATER;
    }
    if (on.contains(Wiring.PROBE_V6)) {
      return Probe.CATHODE_V6;
    }
    if (on.contains(Wiring.PROBE_V5)) {
      return Probe.CATHODE_V5;
    }
    return on.contains(Wiring.PROBE_V4) ? Probe.CATHODE_V4 : Probe.CATHODE_V3;
  }
}
