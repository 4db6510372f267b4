package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.signal.Levels;
import kitproof.signal.TwoTone;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Plays two tones at once at a stated power.
 *
 * <p>The power is that of the sine whose peak the two tones together have, as IEC 60268-3 has it:
 * the unit is driven as far as by a single tone of that power. A sine of the lower frequency is
 * levelled first; what the other tone then makes of the sum is put right in one step.
 */
final class TwoTones {
  private static final double GOOD_ENOUGH_DB = 0.02;
  private static final double JUST_BELOW = 0.999;

  /** More than this is not a matter of the response but of something else. */
  private static final double MOST_CORRECTION = 1.3;

  private TwoTones() {}

  /**
   * One block of both tones by channel.
   *
   * @param lowShare of the peak, that the lower tone has
   */
  static List<Block> play(ToneBench audio, TwoTone tones, double lowShare, Quantity power)
      throws InstrumentException {
    List<Levelling.Level> levels = Levelling.toPower(audio, tones.lowHz(), power);
    List<Block> blocks = once(audio, tones, lowShare, levels);
    List<Levelling.Level> corrected = new ArrayList<>();
    boolean good = true;
    for (int c = 0; c < levels.size(); c++) {
      Levelling.Level level = levels.get(c);
      Block block = blocks.get(c);
      double factor = 1;
      if (level.found() && block.trouble().isEmpty()) {
        double target = Levels.volts(power.in(Unit.WATT), audio.loadOhms(block.channel()));
        factor = factor(tones, block.volts(), target);
      }
      good &= Math.abs(Levels.db(factor)) <= GOOD_ENOUGH_DB;
      double drive =
          Math.min(block.channel().highestDrivePeakVolts(), level.drivePeakVolts() * factor);
      corrected.add(
          new Levelling.Level(drive, level.outputVolts(), level.figures(), level.trouble()));
    }
    return good ? blocks : once(audio, tones, lowShare, corrected);
  }

  private static double factor(TwoTone tones, double[] volts, double target) {
    try {
      double wanted = JUST_BELOW * target / tones.analyse(volts).equivalentSineVolts();
      return Math.min(MOST_CORRECTION, Math.max(1 / MOST_CORRECTION, wanted));
    } catch (IllegalArgumentException e) {
      return 1; // no tones came back; the analysis will say so
    }
  }

  private static List<Block> once(
      ToneBench audio, TwoTone tones, double lowShare, List<Levelling.Level> levels)
      throws InstrumentException {
    return Block.driven(
        audio,
        levels,
        tones.blockLength(),
        tones.lowHz(),
        length -> tones.samples(lowShare, 1 - lowShare, length));
  }
}
