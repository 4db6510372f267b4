package kitproof.driver.simulated.unit;

/** What can be wrong with a kit, built in where it would physically be. */
public enum Fault {
  /** V4 draws far less than V3: idle currents and transconductance of the left pair differ. */
  OUTPUT_VALVES_MISMATCHED("output-valves-mismatched"),
  /** The second smoothing capacitor has lost nine tenths of its value. */
  SMOOTHING_CAPACITOR_LOW("smoothing-capacitor-low"),
  /** The wires of the 4 and 8 ohm taps are exchanged at the left terminals. */
  TAPS_EXCHANGED("taps-exchanged"),
  /** The right channel's feedback resistor is ten times too large. */
  FEEDBACK_RESISTOR_DECADE("feedback-resistor-decade"),
  /** The second smoothing capacitor breaks down into a short circuit under a few volts. */
  SMOOTHING_CAPACITOR_SHORTED("smoothing-capacitor-shorted"),
  /** The coupling capacitor at the grid of V5 leaks, the more the warmer it gets. */
  COUPLING_CAPACITOR_LEAKS("coupling-capacitor-leaks"),
  /** A stage of the left channel sustains an oscillation above the audio band. */
  OSCILLATES("oscillates"),
  /** The nut of the protective earth is loose. */
  PROTECTIVE_EARTH_LOOSE("protective-earth-loose");

  private final String word;

  Fault(String word) {
    this.word = word;
  }

  /** The word in bench files. */
  @Override
  public String toString() {
    return word;
  }
}
