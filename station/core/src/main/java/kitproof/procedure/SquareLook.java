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
 * A look at a square wave 20 dB down before it is played: how high a unit makes its peaks, by a
 * gain that rises with frequency, ringing or a top that sags.
 *
 * <p>A unit may make ten times more of them than of a sine and still not exceed the power.
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
    int periods = (int) Math.max(FEWEST_PERIODS, SECONDS * wave.frequencyHz());
    List<Block> looks =
        Block.driven(
            audio,
            levels.stream().map(level -> level.lowered(QUIET)).toList(),
            periods * wave.period(),
            wave.frequencyHz(),
            length -> wave.samples(1, length));
    List<Levelling.Level> held = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Block look = looks.get(c);
      if (!look.trouble().isEmpty()) {
        held.add(Levelling.Level.none(look.trouble()));
        continue;
      }
      ToneBench.Channel channel = look.channel();
      double target = Math.sqrt(2) * Levels.volts(power.in(Unit.WATT), audio.loadOhms(channel));
      // Not below the look itself, which has been played.
      double more = Math.min(1 / QUIET, Math.max(1, wave.peakVolts(look.volts()) / QUIET / target));
      if (Levels.db(more) > TOLD_DB) {
        audio.notice(
            String.format(
                Locale.ROOT,
                "%ssquare wave played %.1f dB below the stated power, as the unit makes its peaks"
                    + " that much higher than those of a sine",
                audio.channels().size() > 1 ? channel.name() + ": " : "",
                Levels.db(more)));
      }
      held.add(levels.get(c).lowered(1 / more));
    }
    return held;
  }
}
