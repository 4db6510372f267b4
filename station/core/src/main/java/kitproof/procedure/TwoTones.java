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
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Plays two tones at once at a stated power.
 *
 * <p>The power is that of the sine whose peak the two tones together have, as IEC 60268-3 has it
 * (from memory): the unit is driven as far as by a single tone of that power. A sine of the lower
 * frequency is levelled first. Both tones are then played 20 dB down and, by what that shows, 4.4
 * dB below the power, so that their sum does not exceed it where the unit gives more at the higher
 * one or its gain rises with level; what is left then is put right.
 */
final class TwoTones {
  private static final double FEWEST_CYCLES = 4;
  private static final int MOST_PLAYS = 4;

  /** Near clipping a product changes several times as much as the drive. */
  private static final double GOOD_ENOUGH_DB = 0.003;

  private static final double JUST_BELOW = 0.9995;

  /** Of the drive at which the lower tone alone gives the power. */
  private static final double QUIET = 0.1;

  /** Where the residual of a signal that is no single tone is looked up. */
  private static final double RESIDUAL_HERTZ = 1000;

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
    if (higher.in(Unit.HERTZ) >= Levelling.HIGHEST_OF_RATE * audio.sampleRateHz()) {
      String trouble = higher.display() + " is too near half of the interface's sample rate";
      return new HeardProcedure.Take<>(Block.unusable(audio, trouble), block -> List.of());
    }
    TwoTone tones = of(audio, lower, higher, listen);
    return HeardProcedure.Take.looked(
        play(audio, tones, lowShare, power),
        block -> figures.apply(tones.analyse(block.volts())),
        block -> new IntermodulationTrust(audio, block, tones)::known);
  }

  /** Both tones in a block of about the time to listen, but never less than a few cycles. */
  private static TwoTone of(ToneBench audio, Quantity lower, Quantity higher, Duration listen) {
    double low = lower.in(Unit.HERTZ);
    double high = higher.in(Unit.HERTZ);
    double seconds = Math.max(listen.toNanos() / 1e9, FEWEST_CYCLES / Math.min(low, high - low));
    double rate = audio.sampleRateHz();
    return TwoTone.of(low, high, rate, (int) (seconds * rate));
  }

  /**
   * A result with a note if it is near what the station itself would show: its distortion, as it is
   * of a single tone, and its noise on the line of each product.
   */
  static Measurement said(
      ToneBench audio,
      HeardProcedure.Heard heard,
      Quantity lower,
      Quantity higher,
      Duration listen,
      Measurement measurement) {
    if (!(heard instanceof Block block)
        || !block.trouble().isEmpty()
        || measurement.figure() instanceof Figure.Invalid) {
      return measurement;
    }
    TwoTone tones = of(audio, lower, higher, listen);
    IntermodulationFigures found = tones.analyse(block.volts());
    String name = measurement.name();
    double volts = found.equivalentSineVolts();
    double bin = tones.sampleRateHz() / tones.blockLength();
    double noise = audio.ownLines(block.channel()).noiseVolts(volts, RESIDUAL_HERTZ, bin);
    double distortion = volts * audio.own().thd(block.channel(), volts, RESIDUAL_HERTZ);
    return OwnResidual.noted(
        measurement,
        Math.hypot(
                distortion * Math.sqrt(IntermodulationTrust.products(name)),
                IntermodulationTrust.ofEqual(name, noise))
            / IntermodulationTrust.against(name, found));
  }

  /**
   * One block of both tones by channel.
   *
   * @param lowShare of the peak, that the lower tone has
   */
  private static List<Block> play(ToneBench audio, TwoTone tones, double lowShare, Quantity power)
      throws InstrumentException {
    List<Levelling.Level> levels = Levelling.toPower(audio, tones.lowHz(), power);
    List<RisingGain> gains = levels.stream().map(level -> new RisingGain()).toList();
    double shortest = FEWEST_CYCLES / Math.min(tones.lowHz(), tones.highHz() - tones.lowHz());
    double rate = tones.sampleRateHz();
    TwoTone quick = TwoTone.of(tones.lowHz(), tones.highHz(), rate, (int) (shortest * rate));
    List<Levelling.Level> next = levels.stream().map(level -> level.lowered(QUIET)).toList();
    for (double share : List.of(FirstLook.NEARER, JUST_BELOW)) {
      List<Block> looks =
          Block.onTheWay(
              audio,
              next,
              quick.blockLength(),
              quick.lowHz(),
              length -> quick.samples(lowShare, 1 - lowShare, length));
      next = next(audio, quick, looks, next, gains, share, power);
    }
    for (int play = 1; ; play++) {
      List<Levelling.Level> now = next;
      List<Block> blocks =
          Block.driven(
              audio,
              now,
              tones.blockLength(),
              tones.lowHz(),
              length -> tones.samples(lowShare, 1 - lowShare, length));
      next = next(audio, tones, blocks, now, gains, JUST_BELOW, power);
      if (play == MOST_PLAYS || alike(now, next)) {
        return blocks;
      }
    }
  }

  /** Whether nothing is left to be put right. */
  private static boolean alike(List<Levelling.Level> some, List<Levelling.Level> others) {
    for (int c = 0; c < some.size(); c++) {
      double factor = others.get(c).drivePeakVolts() / some.get(c).drivePeakVolts();
      if (others.get(c).found() && Math.abs(Levels.db(factor)) > GOOD_ENOUGH_DB) {
        return false;
      }
    }
    return true;
  }

  /**
   * The drives for a part of the power's volts, by what the last ones came to.
   *
   * @param gains takes what they came to
   */
  private static List<Levelling.Level> next(
      ToneBench audio,
      TwoTone tones,
      List<Block> blocks,
      List<Levelling.Level> levels,
      List<RisingGain> gains,
      double share,
      Quantity power)
      throws InstrumentException {
    List<Levelling.Level> next = new ArrayList<>();
    for (int c = 0; c < blocks.size(); c++) {
      Block block = blocks.get(c);
      Levelling.Level level = levels.get(c);
      if (!block.trouble().isEmpty()) {
        next.add(Levelling.Level.none(block.trouble()));
        continue;
      }
      try {
        gains
            .get(c)
            .take(level.drivePeakVolts(), tones.analyse(block.volts()).equivalentSineVolts());
      } catch (IllegalArgumentException e) {
        next.add(level); // no tones came back; the analysis will say so
        continue;
      }
      double target = Levels.volts(power.in(Unit.WATT), audio.loadOhms(block.channel()));
      double drive =
          Math.min(block.channel().highestDrivePeakVolts(), gains.get(c).driveFor(share * target));
      next.add(level.lowered(drive / level.drivePeakVolts()));
    }
    return next;
  }
}
