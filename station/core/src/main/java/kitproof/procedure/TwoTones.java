package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import kitproof.driver.InstrumentException;
import kitproof.signal.IntermodulationFigures;
import kitproof.signal.Levels;
import kitproof.signal.TwoTone;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Plays two tones at once at a stated power.
 *
 * <p>The power is that of the sine whose peak the two tones together have, as IEC 60268-3 has it
 * (from memory): the unit is driven as far as by a single tone of that power. A sine of the lower
 * frequency is levelled first. A look 20 dB down then shows whether the unit gives more at the
 * higher one, so that the sum does not exceed the power; what is left is put right in one step.
 */
final class TwoTones {
  private static final double FEWEST_CYCLES = 4;
  private static final double GOOD_ENOUGH_DB = 0.02;
  private static final double JUST_BELOW = 0.999;

  /** A look is no more exact than this: less is left to the correction. */
  private static final double LOOK_DB = 0.1;

  /** More than this is not a matter of the response but of something else. */
  private static final double MOST_CORRECTION = 1.3;

  private TwoTones() {}

  /**
   * Plays both tones so long that the slower of the lower one and their difference is heard for
   * some cycles.
   *
   * @param lowShare of the peak, that the lower tone has
   * @param figures what is found of what came back
   */
  static HeardProcedure.Take<Block> take(
      ToneBench audio,
      Quantity lower,
      Quantity higher,
      Duration listen,
      double lowShare,
      Quantity power,
      Function<IntermodulationFigures, List<Figure>> figures)
      throws InstrumentException {
    double low = lower.in(Unit.HERTZ);
    double high = higher.in(Unit.HERTZ);
    double rate = audio.sampleRateHz();
    if (high >= Levelling.HIGHEST_OF_RATE * rate) {
      String trouble = higher.display() + " is too near half of the interface's sample rate";
      return new HeardProcedure.Take<>(Block.unusable(audio, trouble), block -> List.of());
    }
    double seconds = Math.max(listen.toNanos() / 1e9, FEWEST_CYCLES / Math.min(low, high - low));
    TwoTone tones = TwoTone.of(low, high, rate, (int) (seconds * rate));
    return HeardProcedure.Take.looked(
        play(audio, tones, lowShare, power),
        block -> figures.apply(tones.analyse(block.volts())),
        block -> new IntermodulationTrust(audio, block, tones)::known);
  }

  /**
   * One block of both tones by channel.
   *
   * @param lowShare of the peak, that the lower tone has
   */
  private static List<Block> play(ToneBench audio, TwoTone tones, double lowShare, Quantity power)
      throws InstrumentException {
    List<Levelling.Level> levels =
        held(audio, tones, lowShare, Levelling.toPower(audio, tones.lowHz(), power));
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

  /** The drives with which the sum is not higher than the lower tone alone was. */
  private static List<Levelling.Level> held(
      ToneBench audio, TwoTone tones, double lowShare, List<Levelling.Level> levels)
      throws InstrumentException {
    FirstLook look = FirstLook.at(audio, tones.lowHz(), tones.highHz(), levels);
    List<Levelling.Level> held = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      double more = look.more(c, tones.lowHz(), tones.highHz());
      double sum = lowShare + (1 - lowShare) * more;
      held.add(levels.get(c).lowered(Levels.db(sum) > LOOK_DB ? 1 / sum : 1));
    }
    return held;
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
