package kitproof.cli;

import java.util.List;

/**
 * A fault of the Linnet 12's batch of twelve, and what of the shipped plan it spoils. A result is
 * named with some of its conditions: "gain, channel left, tap 4 ohm".
 *
 * @param serial of the unit that has it
 * @param shows how it shows
 * @param must each of these results is there and fails
 * @param may of all others these alone may fail, for the same cause
 * @param cause how the first probable cause of the product's table begins
 * @param where that cause is; empty if it is of no channel or valve
 */
record LinnetFault(
    String serial, String shows, List<String> must, List<String> may, String cause, String where) {
  /** All there are; the other units are healthy. */
  static final List<LinnetFault> ALL =
      List.of(
          new LinnetFault(
              "LN12-002",
              "mismatched output valves show in their bias and in even harmonics of their channel",
              List.of(
                  "cathode voltage, point cathode V4",
                  "cathode voltage warm, point cathode V4",
                  "harmonic 2, channel left"),
              List.of(
                  "idle current, point cathode V4",
                  "dissipation share, point cathode V4",
                  "thd, channel left",
                  "thd+n, channel left",
                  "power at 1 %, channel left",
                  "clipping power, channel left",
                  "thd+n against frequency, channel left",
                  "thd+n against power, channel left",
                  "harmonic 2 against power, channel left",
                  "residual waveform, channel left",
                  "harmonic 2 against frequency, channel left",
                  "hum, channel left",
                  "hum spectrum, channel left",
                  "crosstalk floor, channel left",
                  "modulation distortion, channel left",
                  "difference-frequency distortion 2, channel left"),
              "Unequal output valves",
              "channel left"),
          new LinnetFault(
              "LN12-003",
              "a smoothing capacitor gone low shows in ripple, hum and discharge alone",
              List.of("hv ripple", "hum", "discharge time constant", "discharge time to 60 V"),
              // At the lowest powers hum is most of what is not the tone.
              List.of("hum spectrum", "thd+n against power"),
              "A smoothing capacitor has lost capacitance",
              ""),
          new LinnetFault(
              "LN12-005",
              "exchanged taps show in the gain of these two taps of their channel",
              List.of(
                  "gain, channel left, tap 4 ohm",
                  "gain, channel left, tap 8 ohm",
                  "output impedance at 1 kHz, channel left, tap 4 ohm",
                  "output impedance at 1 kHz, channel left, tap 8 ohm",
                  "output impedance, channel left, tap 4 ohm",
                  "output impedance, channel left, tap 8 ohm"),
              // Loaded with half of what the winding is made for, its response changes as well.
              List.of(
                  "damping factor at 1 kHz, channel left",
                  "damping factor, channel left",
                  "phase, channel left",
                  "output impedance phase, channel left",
                  "input voltage against power, channel left, tap 8 ohm",
                  "harmonic 3 against power, channel left, tap 8 ohm",
                  "residual waveform, channel left, tap 8 ohm",
                  "thd+n against power, channel left, tap 8 ohm",
                  "harmonic 3 against frequency, channel left, tap 8 ohm",
                  "channel balance",
                  "upper corner, channel left, tap 4 ohm",
                  "frequency response, channel left, tap 4 ohm",
                  "input sensitivity, channel left, tap 8 ohm",
                  "power at 1 %, channel left, tap 8 ohm",
                  "clipping power, channel left, tap 8 ohm",
                  "thd+n against frequency, channel left, tap 8 ohm"),
              "The wires of the 4 ohm and the 8 ohm tap are exchanged",
              "channel left"),
          new LinnetFault(
              "LN12-006",
              "a feedback resistor of another decade shows in gain and distortion of its channel",
              List.of(
                  "gain, channel right",
                  "thd, channel right, mode ultralinear",
                  "frequency response, channel right",
                  "upper corner, channel right",
                  "input sensitivity, channel right"),
              List.of(
                  "lower corner, channel right",
                  "phase, channel right",
                  "output impedance phase, channel right",
                  "input voltage against power, channel right",
                  "harmonic 2 against power, channel right",
                  "harmonic 3 against power, channel right",
                  "residual waveform, channel right",
                  "thd+n against power, channel right",
                  "harmonic 2 against frequency, channel right",
                  "harmonic 3 against frequency, channel right",
                  "output impedance, channel right",
                  "damping factor, channel right",
                  "hum spectrum, channel right",
                  "crosstalk floor, channel right",
                  "output impedance at 1 kHz, channel right",
                  "damping factor at 1 kHz, channel right",
                  "channel balance",
                  "power at 1 %, channel right",
                  "clipping power, channel right",
                  "thd+n against frequency, channel right",
                  "thd, channel right",
                  "thd+n, channel right",
                  "harmonic 2, channel right",
                  "harmonic 3, channel right",
                  "hum, channel right",
                  "noise, channel right",
                  "signal-to-noise ratio, channel right",
                  "difference-frequency distortion 3, channel right",
                  "modulation distortion, channel right",
                  "sag, channel right"),
              "Too little feedback",
              "channel right"),
          new LinnetFault(
              "LN12-008",
              "a shorted smoothing capacitor is caught before the limiter is taken out",
              List.of("supply rise", "supply rise settled", "mains power rise"),
              // There is nothing to discharge.
              List.of("discharge", "discharge time constant", "discharge time to 60 V"),
              "A shorted smoothing capacitor",
              ""),
          new LinnetFault(
              "LN12-009",
              "a leaking coupling capacitor shows in the bias of its valve, more when warm",
              List.of("cathode voltage warm, point cathode V5"),
              // One trimmer sets both valves of a channel: turned down for this one, it starves the
              // other.
              List.of(
                  "bias as set, point cathode V5",
                  "cathode voltage, point cathode V6",
                  "cathode voltage warm, point cathode V6",
                  "idle current, point cathode V6",
                  "cathode voltage, point cathode V5",
                  "idle current, point cathode V5",
                  "dissipation share, point cathode V5",
                  "mains power drift change",
                  "mains power drift",
                  "mains power",
                  "thd+n against power, channel right",
                  "harmonic 2 against power, channel right",
                  "residual waveform, channel right",
                  "harmonic 2 against frequency, channel right",
                  "hum spectrum, channel right",
                  "power at 1 %, channel right",
                  "clipping power, channel right",
                  "thd+n against frequency, channel right",
                  "thd, channel right",
                  "thd+n, channel right",
                  "harmonic 2, channel right",
                  "hum, channel right",
                  "difference-frequency distortion 2, channel right"),
              "A coupling capacitor leaks",
              "point cathode V5"),
          new LinnetFault(
              "LN12-011",
              "an oscillation above the audio band shows in what is neither tone nor harmonic",
              List.of("thd+n, channel left, power 1 W", "stray line, channel left"),
              List.of("thd+n against frequency, channel left", "thd+n against power, channel left"),
              "Oscillation above the audio band",
              "channel left"));

  /** Whether the run goes on to its end: not where the fault is caught at first power. */
  boolean runsToTheEnd() {
    return !serial.equals("LN12-008");
  }

  @Override
  public String toString() {
    return serial + ": " + shows;
  }
}
