package kitproof.peers;

import static kitproof.peers.KnownDevices.decibels;

/**
 * Impedances and channels. An output impedance has no device of its kind on a sound server: the
 * relays choose the gains that the voltage divider of the impedance and each load makes; the same
 * holds for an input impedance.
 */
final class KnownConditions {
  /** Depth of the ring modulator that a unit stands for which oscillates into a capacitor. */
  private static final double MODULATED = 0.1;

  private KnownConditions() {}

  /** A sideband beside 1 W in 8 ohm; by the product of two sines. */
  private static double strayLine() {
    return decibels(Math.sqrt(8) * (MODULATED / 4) / (1 - MODULATED / 2));
  }

  static KnownRun start(SoundRun bench, Told told) throws Exception {
    double width = 1.96;
    bench.server.add("to-stereo", "", "matrix_ms_st_1421", "matrixMSSt", width);
    bench.server.add("to-middle", "to-stereo", "matrix_st_ms_1420", "matrixStMS");
    double q = (100_000 + 100) / (100_000.0 + 100 + 47_000);
    double tap = Math.sqrt(0.5);
    bench
        .device("source", "amp", "amp_mono", 8 / 9.0)
        .withAttenuator(8 / 9.0)
        .withCapacitor("ringmod_1188", "ringmod_1i1o1l", MODULATED, 700, 1, 0, 0, 0)
        .device("leaky", bench.server.choosing("to-middle"))
        .gains("source", 6 / 7.0, tap * 4 / 4.5, tap * 3 / 3.5, q * 8 / 9.0)
        .device("uneven", bench.server.trimming("device0", 1, Math.pow(10, -1 / 20.0)));
    String plan =
        """
          - {step: quiet, procedure: gain, conditions: {device: source, channel: left, tap: 8 ohm}, power: 50 mW}
          - {step: loud, procedure: gain, conditions: {device: source, channel: left, tap: 8 ohm}, power: 1 W}
          - {step: stable, procedure: stability, conditions: {device: source, channel: left, tap: 8 ohm}, power: 1 W, frequency: 7 kHz}
          - {step: stable with a capacitor, procedure: stability, conditions: {device: source, channel: left, tap: 8 ohm}, select: ["left 8 ohm tap, capacitor"], load: 100 nF across it, power: 1 W, frequency: 7 kHz}
          - {step: from outside, procedure: output-impedance, conditions: {device: source, channel: left, tap: 8 ohm}, power: 1 W, second-load: 'left {tap} tap, second load', sweep: 500 ms}
          - {step: from outside, procedure: output-impedance, conditions: {device: source, channel: left, tap: 4 ohm}, power: 1 W, second-load: 'left {tap} tap, second load', sweep: 500 ms}
          - {step: from the source, procedure: input-impedance, conditions: {device: source, channel: left, tap: 8 ohm}, power: 1 W, through-resistor: inputs through 47 kohm, resistor: 47 kohm, source: 100 ohm, sweep: 500 ms}
          - {step: crosstalk, procedure: crosstalk, conditions: {device: leaky, channel: both, tap: 8 ohm}, power: 1 W, sweep: 500 ms}
          - {step: left against right, procedure: comparison, result: crosstalk at 1 kHz, of: {channel: left}, against: {channel: right}}
          - {step: left against right by frequency, procedure: comparison, curve: crosstalk, of: {channel: left}, against: {channel: right}}
          - {step: one tap against another, procedure: comparison, result: output impedance at 1 kHz, of: {tap: 4 ohm}, against: {tap: 8 ohm}}
          - {step: taps by frequency, procedure: comparison, curve: output impedance, of: {tap: 4 ohm}, against: {tap: 8 ohm}}
          - {step: balance, procedure: channel-balance, conditions: {device: uneven, channel: both, tap: 8 ohm}, power: 1 W, sweep: 500 ms}
        """;
    // By hand: middle (l + r)/2 and side (l - r)/2 become left = middle + width/2 side; the
    // plugin's hosts let it work in place, where left has overwritten the middle before right is
    // made of it: right = middle.
    double intoLeft = decibels((1 - width / 2) / 1);
    double intoRight = decibels(1 / (1 + width / 2));
    double[] band = {20, 20_000};
    Expected expected = new Expected();
    for (int ohms : new int[] {4, 8}) {
      String when = "tap: " + ohms + " ohm";
      double z = ohms / 8.0;
      expected
          .near("output impedance at 1 kHz", when, z, z * 0.01, "ohm")
          .near("damping factor at 1 kHz", when, ohms / z, 0.08, "")
          .curve("output impedance", when, "Hz", band, f -> z, z * 0.01, "ohm")
          .curve("output impedance phase", when, "Hz", band, f -> 0, 1, "deg")
          .curve("damping factor", when, "Hz", band, f -> ohms / z, 0.08, "");
    }
    expected
        .near("input impedance at 1 kHz", "", 100_000, 300, "ohm")
        .curve("input impedance", "", "Hz", band, f -> 100_000, 300, "ohm")
        .curve("input impedance phase", "", "Hz", band, f -> 0, 0.5, "deg")
        .near("crosstalk at 1 kHz", "channel: left", intoLeft, 0.02, "dB")
        .near("crosstalk at 1 kHz", "channel: right", intoRight, 0.02, "dB")
        .curve("crosstalk", "channel: left", "Hz", band, f -> intoLeft, 0.03, "dB")
        .curve("crosstalk", "channel: right", "Hz", band, f -> intoRight, 0.03, "dB")
        .near("crosstalk at 1 kHz difference", "", intoLeft - intoRight, 0.04, "dB")
        .curve("crosstalk difference", "", "Hz", band, f -> intoLeft - intoRight, 0.06, "dB")
        .near("worst crosstalk difference", "", intoLeft - intoRight, 0.06, "dB")
        .near("output impedance at 1 kHz difference", "", -0.5, 0.015, "ohm")
        .curve("output impedance difference", "", "Hz", band, f -> -0.5, 0.015, "ohm")
        .near("worst output impedance difference", "", -0.5, 0.015, "ohm")
        // Of silence a digital loop gives back nothing at all, for which the lowest figure stands.
        .curve("crosstalk floor", "", "Hz", band, f -> -300, 0.001, "dB")
        .near("gain", "power: 50 mW", decibels(8 / 9.0), 0.001, "dB")
        .near("gain", "power: 1 W", decibels(8 / 9.0), 0.001, "dB")
        .between("stray line", "load: plain", -400, -110, "dBV")
        .near("stray line", "load: 100 nF across it", strayLine(), 0.05, "dBV")
        .between("stray line frequency", "load: 100 nF across it", 6295, 7705, "Hz")
        .near("channel balance at 1 kHz", "", 1, 0.005, "dB")
        .curve("channel balance", "", "Hz", band, f -> 1, 0.01, "dB");
    return KnownRun.start(bench, told, "LN12-103", plan, expected);
  }
}
