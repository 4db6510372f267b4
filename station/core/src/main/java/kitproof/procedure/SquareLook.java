package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.driver.InstrumentException;
import kitproof.signal.Levels;
import kitproof.signal.SquareWave;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Two looks at a square wave before it is played: how high a unit makes its peaks, by a gain that
 * rises with frequency or level, ringing or a top that sags.
 *
 * <p>At the first, 20 dB down, a unit may make ten times more of them than of a sine and still not
 * exceed the power; the second is nearer, as that of {@link FirstLook}.
 */
final class SquareLook {
  private static final double QUIET = 0.1;
  private static final double SECONDS = 0.02;
  private static final int FEWEST_PERIODS = 4;

  /** A smaller difference is not worth telling. */
  private static final double TOLD_DB = 0.5;

  private SquareLook() {}

  /**
   * The drives with which no peak is higher than that of the sine of the stated power.
   *
   * @param levels the drives at which a sine of the wave's frequency gives that power
   */
  static List<Levelling.Level> held(
      ToneBench audio, SquareWave wave, List<Levelling.Level> levels, Quantity power)
      throws InstrumentException {
    List<RisingGain> gains = levels.stream().map(level -> new RisingGain()).toList();
    List<Levelling.Level> next = levels.stream().map(level -> level.lowered(QUIET)).toList();
    for (double share : List.of(FirstLook.NEARER, 1.0)) {
      List<Block> looks = look(audio, wave, next);
      List<Levelling.Level> nearer = new ArrayList<>();
      for (int c = 0; c < levels.size(); c++) {
        Block look = looks.get(c);
        if (!look.trouble().isEmpty()) {
          nearer.add(Levelling.Level.none(look.trouble()));
          continue;
        }
        double target = Levels.volts(power.in(Unit.WATT), audio.loadOhms(look.channel()));
        RisingGain gain = gains.get(c);
        gain.take(next.get(c).drivePeakVolts(), wave.peakVolts(look.volts()));
        double drive =
            gain.driveFor(share * Math.sqrt(2) * target) / levels.get(c).drivePeakVolts();
        // Not below the first look, which has been played.
        nearer.add(levels.get(c).lowered(Math.max(QUIET, Math.min(share, drive))));
      }
      next = nearer;
    }
    tell(audio, levels, next);
    return next;
  }

  private static List<Block> look(ToneBench audio, SquareWave wave, List<Levelling.Level> levels)
      throws InstrumentException {
    int periods = (int) Math.max(FEWEST_PERIODS, SECONDS * wave.frequencyHz());
    return Block.driven(
        audio,
        levels,
        periods * wave.period(),
        wave.frequencyHz(),
        length -> wave.samples(1, length));
  }

  private static void tell(
      ToneBench audio, List<Levelling.Level> levels, List<Levelling.Level> held)
      throws InstrumentException {
    for (int c = 0; c < held.size(); c++) {
      if (!held.get(c).found()) {
        continue;
      }
      double lower = Levels.db(levels.get(c).drivePeakVolts() / held.get(c).drivePeakVolts());
      if (lower > TOLD_DB) {
        audio.notice(
            String.format(
                Locale.ROOT,
                "%ssquare wave played %.1f dB below the stated power, as the unit makes its peaks"
                    + " that much higher than those of a sine",
                audio.channels().size() > 1 ? audio.channels().get(c).name() + ": " : "",
                lower));
      }
    }
  }
}
