package kitproof.driver.simulated;

import kitproof.driver.simulated.unit.Amplifier;
import kitproof.driver.simulated.unit.Integrals;
import kitproof.value.Unit;

/** Where a simulated meter's leads can be, and what it reads there. */
enum Point {
  HV("hv", Unit.VOLT),
  HV_RIPPLE("hv-ripple", Unit.VOLT),
  MAINS_POWER("mains-power", Unit.WATT),
  HEATER("heater", Unit.VOLT),
  PROBE("probe", Unit.VOLT),
  PROBE_AC("probe-ac", Unit.VOLT),
  COLD_RESISTANCE("cold-resistance", Unit.OHM),
  LINE_LEFT("line-left", Unit.VOLT),
  LINE_RIGHT("line-right", Unit.VOLT),
  LOAD_LEFT("load-left", Unit.OHM),
  LOAD_RIGHT("load-right", Unit.OHM),
  SERIES_RESISTOR("series-resistor", Unit.OHM),
  CHECK_RESISTOR("check-resistor", Unit.OHM),
  ROOM_TEMPERATURE("room-temperature", Unit.CELSIUS),
  ROOM_HUMIDITY("room-humidity", Unit.PERCENT),
  FLYBACK("flyback", Unit.ONE);

  private final String word;
  private final Unit unit;

  Point(String word, Unit unit) {
    this.word = word;
    this.unit = unit;
  }

  Unit unit() {
    return unit;
  }

  /** Whether it is across a resistor of the bench itself, with the unit off it. */
  boolean isOfTheBench() {
    return this == LOAD_LEFT
        || this == LOAD_RIGHT
        || this == SERIES_RESISTOR
        || this == CHECK_RESISTOR;
  }

  /** Whether it is no part of bench or unit. */
  boolean isOfTheRoom() {
    return this == ROOM_TEMPERATURE || this == ROOM_HUMIDITY;
  }

  /** The reading over the time between two moments, in the plain unit. */
  double between(Integrals before, Integrals after, Amplifier amplifier) {
    return switch (this) {
      case HV -> after.railMean(before);
      case HV_RIPPLE -> after.railRipple(before);
      case MAINS_POWER -> after.power(before);
      case HEATER -> after.heater(before);
      case PROBE -> after.probeMean(before);
      case PROBE_AC -> after.probeRipple(before);
      case COLD_RESISTANCE -> amplifier.coldOhms();
      case LINE_LEFT,
          LINE_RIGHT,
          LOAD_LEFT,
          LOAD_RIGHT,
          SERIES_RESISTOR,
          CHECK_RESISTOR,
          ROOM_TEMPERATURE,
          ROOM_HUMIDITY ->
          throw new IllegalStateException(this + " is no point of the unit");
      case FLYBACK -> amplifier.flybacks();
    };
  }

  /** The word in bench files. */
  @Override
  public String toString() {
    return word;
  }
}
