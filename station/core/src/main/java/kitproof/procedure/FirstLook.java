package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.signal.RoughSweep;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * A third of a second of a quiet sweep that shows what a unit gives where, before it is driven to a
 * stated power at other frequencies than the one at which its drive was found.
 *
 * <p>It is played 20 dB below that drive: a unit may have a peak that high and still not exceed the
 * power. Hum and noise can only make it look higher.
 */
final class FirstLook {
  private static final double SECONDS = 0.25;
  private static final double TAIL_SECONDS = 0.1;
  private static final double QUIET = 0.1;

  /** A smaller difference is not worth telling. */
  private static final double TOLD_DB = 0.5;

  private final ToneBench audio;
  private final List<Levelling.Level> levels;
  private final List<Seen> seen;

  /** What a channel showed; null if it was not driven, or cannot be trusted. */
  private record Seen(RoughSweep.@Nullable Gains gains, String trouble) {}

  private FirstLook(ToneBench audio, List<Levelling.Level> levels, List<Seen> seen) {
    this.audio = audio;
    this.levels = levels;
    this.seen = seen;
  }

  /**
   * Looks at all channels that have a level, in one exchange.
   *
   * @param levels of each channel at a frequency within the band
   */
  static FirstLook at(ToneBench audio, double lowHz, double highHz, List<Levelling.Level> levels)
      throws InstrumentException {
    List<Seen> seen = new ArrayList<>();
    if (levels.stream().noneMatch(Levelling.Level::found)) {
      levels.forEach(level -> seen.add(new Seen(null, level.trouble())));
      return new FirstLook(audio, levels, seen);
    }
    RoughSweep sweep =
        new RoughSweep(new Band(lowHz, highHz), SECONDS, TAIL_SECONDS, audio.sampleRateHz());
    Capture capture =
        audio.exchange(
            levels.stream().map(level -> sweep.samples(QUIET * level.drivePeakVolts())).toList());
    for (int c = 0; c < levels.size(); c++) {
      ToneBench.Channel channel = audio.channels().get(c);
      String trouble =
          levels.get(c).found() ? audio.trouble(capture, channel) : levels.get(c).trouble();
      seen.add(
          new Seen(
              trouble.isEmpty()
                  ? sweep.gains(
                      QUIET * levels.get(c).drivePeakVolts(), audio.input(capture, channel))
                  : null,
              trouble));
    }
    return new FirstLook(audio, levels, seen);
  }

  /** What is known of each channel's gain at a frequency, to begin from there. */
  List<RisingGain> gains(double hz) {
    List<RisingGain> known = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      RoughSweep.Gains gains = seen.get(c).gains;
      RisingGain gain = new RisingGain();
      if (gains != null) {
        double drive = QUIET * levels.get(c).drivePeakVolts();
        gain.take(drive, drive * gains.at(hz) / Math.sqrt(2));
      }
      known.add(gain);
    }
    return known;
  }

  /** What a channel gives at one frequency over what it gives at another; 1 if it was not seen. */
  double more(int channel, double hz, double atHz) {
    RoughSweep.Gains gains = seen.get(channel).gains;
    return gains == null ? 1 : gains.at(atHz) / gains.at(hz);
  }

  /**
   * The drives with which no channel gives more anywhere in the band than its level says: where the
   * unit gives more than at the frequency of that level, the drive is lower, and the operator told.
   *
   * @param hz the frequency of the levels
   */
  List<Levelling.Level> held(double hz) throws InstrumentException {
    List<Levelling.Level> held = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Levelling.Level level = levels.get(c);
      RoughSweep.Gains gains = seen.get(c).gains;
      if (gains == null) {
        held.add(Levelling.Level.none(seen.get(c).trouble));
        continue;
      }
      double most = gains.highestHz();
      // Not below the look itself, which has been played: what is that loud is no gain.
      double more = Math.min(1 / QUIET, Math.max(1, gains.at(most) / gains.at(hz)));
      if (Levels.db(more) > TOLD_DB) {
        audio.notice(
            String.format(
                Locale.ROOT,
                "%sswept %.1f dB below the stated power, as the unit gives that much more at %s"
                    + " than at %s",
                audio.channels().size() > 1 ? audio.channels().get(c).name() + ": " : "",
                Levels.db(more),
                Quantity.of(most, Unit.HERTZ).display(),
                Quantity.of(hz, Unit.HERTZ).display()));
      }
      held.add(
          new Levelling.Level(
              level.drivePeakVolts() / more, level.outputVolts() / more, level.figures(), ""));
    }
    return held;
  }
}
