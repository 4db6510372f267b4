package kitproof.procedure;

import java.util.Locale;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Finds the drive for an output voltage, from below.
 *
 * <p>Begins so low that even a gain of 60 dB stays under the target. A tone that has come back
 * tells the gain; from far below the target the next drive aims a little short of it, so that a
 * unit whose gain rises with level does not overshoot, and one that compresses is approached from
 * below.
 */
final class Levelling {
  private static final double HIGHEST_GAIN = 1000;

  /** The next step while no tone stands out yet. */
  private static final double BLIND_STEP = 30;

  /** From further below than this the next drive aims short of the target. */
  private static final double FAR_BELOW = 0.25;

  private static final double SHORT_OF_TARGET = 0.9;
  private static final double GOOD_ENOUGH_DB = 0.01;
  private static final int MOST_SHOTS = 12;
  private static final double SHOT_SECONDS = 0.08;

  /** Cycles that a shot holds at least, so that low tones are measured too. */
  private static final double FEWEST_CYCLES = 7;

  /** Beyond this part of the sample rate the converter's own filter falls. */
  static final double HIGHEST_OF_RATE = 0.47;

  private Levelling() {}

  /**
   * What was found.
   *
   * @param drivePeakVolts the drive for the target
   * @param outputVolts the output with it, rms
   * @param trouble why there is no such drive; empty if there is
   */
  record Level(double drivePeakVolts, double outputVolts, String trouble) {
    boolean found() {
      return trouble.isEmpty();
    }
  }

  /** Levels the output to this power in the step's load. */
  static Level toPower(StepBench bench, ToneBench audio, double hertz, Quantity power)
      throws InstrumentException {
    double target = Levels.volts(power.in(Unit.WATT), bench.load().in(Unit.OHM));
    if (target * Math.sqrt(2) > audio.highestInputPeakVolts()) {
      return none(
          String.format(
              Locale.ROOT,
              "%s needs %.3f V at the output, more than the interface's input takes",
              power,
              target));
    }
    if (hertz >= HIGHEST_OF_RATE * audio.sampleRateHz()) {
      return none(
          String.format(
              Locale.ROOT,
              "%.0f Hz is too near half of the interface's sample rate of %.0f Hz",
              hertz,
              audio.sampleRateHz()));
    }
    CoherentTone tone = audio.tone(hertz, Math.max(SHOT_SECONDS, FEWEST_CYCLES / hertz));
    Band band = new Band(Math.min(20, hertz / 2), audio.sampleRateHz() / 2);
    double highest = audio.highestDrivePeakVolts();
    double drive = Math.min(highest, target * Math.sqrt(2) / HIGHEST_GAIN);
    String reached = "nothing";
    for (int i = 0; i < MOST_SHOTS; i++) {
      ToneBench.Shot shot = audio.play(tone, drive, band, 2);
      double step = BLIND_STEP;
      if (shot.good().isPresent()) {
        double output = shot.good().get().levelVolts();
        reached = String.format(Locale.ROOT, "%.3f V", output);
        if (Math.abs(Levels.db(output / target)) <= GOOD_ENOUGH_DB) {
          return new Level(drive, output, "");
        }
        step = target / output * (output < FAR_BELOW * target ? SHORT_OF_TARGET : 1);
      } else if (!shot.toneMissing()) {
        return none(shot.trouble());
      }
      if (drive >= highest && step > 1) {
        return none(
            String.format(
                Locale.ROOT,
                "%s (%.3f V) is not reached: with the highest drive of %.3f V the output is %s",
                power,
                target,
                highest / Math.sqrt(2),
                reached));
      }
      drive = Math.min(highest, drive * step);
    }
    return none(
        String.format(
            Locale.ROOT,
            "%s (%.3f V) is not reached: the output stays at %s however it is driven",
            power,
            target,
            reached));
  }

  private static Level none(String trouble) {
    return new Level(0, 0, trouble);
  }
}
