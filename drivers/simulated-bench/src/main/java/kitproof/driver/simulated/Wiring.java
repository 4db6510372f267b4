package kitproof.driver.simulated;

/** What a relay of the simulated bench is wired to; each says what happens when it is energised. */
enum Wiring {
  MAINS("mains"),
  LIMITER_BYPASS("limiter-bypass"),
  DRIVE_LEFT("drive-left"),
  DRIVE_RIGHT("drive-right"),
  LEFT_4_OHM("left-4-ohm"),
  LEFT_16_OHM("left-16-ohm"),
  RIGHT_4_OHM("right-4-ohm"),
  RIGHT_16_OHM("right-16-ohm"),
  LEFT_SECOND_LOAD("left-second-load"),
  RIGHT_SECOND_LOAD("right-second-load"),
  LEFT_CAPACITOR("left-capacitor"),
  RIGHT_CAPACITOR("right-capacitor"),
  LEFT_OPEN("left-open"),
  RIGHT_OPEN("right-open"),
  INPUT_SERIES("input-series"),
  SENSITIVE_INPUTS("sensitive-inputs"),
  TRIODE("triode"),
  PROBE_V4("probe-V4"),
  PROBE_V5("probe-V5"),
  PROBE_V6("probe-V6"),
  PROBE_HEATER("probe-heater"),
  ONE_LAMP("one-lamp"),
  /** The interface's outputs straight on its inputs, attenuators included; the unit is off both. */
  LOOPBACK("loopback"),
  /** The leads of a meter at the bench's resistors put together. */
  LEADS_SHORTED("leads-shorted"),
  /** The leads of a meter on the check standard. */
  CHECK_RESISTOR("check-resistor"),
  COLD_RAIL("cold-rail"),
  COLD_PRIMARY("cold-primary"),
  COLD_HV_WINDING("cold-hv-winding"),
  COLD_HEATER_WINDING("cold-heater-winding"),
  COLD_EARTH("cold-earth");

  private final String word;

  Wiring(String word) {
    this.word = word;
  }

  /** The word in bench files. */
  @Override
  public String toString() {
    return word;
  }
}
