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
 * Two thirds of a second of quiet sweeps that show what a unit gives where, before it is driven to
 * a stated power at other frequencies than the one at which its drive was found.
 *
 * <p>The first is played 20 dB below that drive: a unit may have a peak that high and still not
 * exceed the power. The second goes to 4.4 dB below the power at that peak. Where it shows more
 * gain than the first, gain is taken to go on rising, as {@link RisingGain} has it. Hum and noise
 * can only make the gain look higher, but the rise between the looks smaller, as they are more of
 * the first: where that hardly stands out, at the lowest powers, less of a rise is foreseen.
 */
final class FirstLook {
  private static final double SECONDS = 0.25;
  private static final double TAIL_SECONDS = 0.1;
  private static final double QUIET = 0.1;

  /** Of the output at the stated power: a gain that rises by less than this leaves it room. */
  static final double NEARER = 0.6;

  /** A look is no more exact than this: a smaller rise is none. */
  private static final double LOOK_DB = 0.1;

  /** A smaller difference is not worth telling. */
  private static final double TOLD_DB = 0.5;

  private final ToneBench audio;
  private final List<Levelling.Level> levels;
  private final double hertz;
  private final List<Seen> seen;

  /** What a channel showed; none if it was not driven, or cannot be trusted. */
  private record Seen(@Nullable Looks looks, String trouble) {}

  /**
   * What two sweeps showed.
   *
   * @param quiet the drive of the first
   * @param near the drive of the second, and what it showed
   * @param before the first, smoothed
   * @param after the second, smoothed
   */
  private record Looks(
      double quiet,
      double drive,
      RoughSweep.Gains near,
      RoughSweep.Gains before,
      RoughSweep.Gains after) {
    /** What is known of the gain, peak over peak, that is this at the second drive. */
    RisingGain rising(double gain, double smoothBefore, double smoothAfter) {
      RisingGain rising = new RisingGain();
      double rise =
          Levels.db(smoothAfter / smoothBefore) > LOOK_DB ? smoothAfter / smoothBefore : 1;
      rising.take(quiet, quiet * gain / rise);
      rising.take(drive, drive * gain);
      return rising;
    }

    RisingGain at(double hz) {
      return rising(near.at(hz), before.at(hz), after.at(hz));
    }

    RisingGain of(int place) {
      return rising(near.of(place), before.of(place), after.of(place));
    }
  }

  private FirstLook(ToneBench audio, List<Levelling.Level> levels, double hertz, List<Seen> seen) {
    this.audio = audio;
    this.levels = levels;
    this.hertz = hertz;
    this.seen = seen;
  }

  /**
   * Looks at all channels that have a level, in two exchanges.
   *
   * @param hertz the frequency of the levels, within the band
   * @param levels of each channel
   */
  static FirstLook at(
      ToneBench audio, double lowHz, double highHz, double hertz, List<Levelling.Level> levels)
      throws InstrumentException {
    List<Seen> seen = new ArrayList<>();
    if (levels.stream().noneMatch(Levelling.Level::found)) {
      levels.forEach(level -> seen.add(new Seen(null, level.trouble())));
      return new FirstLook(audio, levels, hertz, seen);
    }
    RoughSweep sweep =
        new RoughSweep(new Band(lowHz, highHz), SECONDS, TAIL_SECONDS, audio.sampleRateHz());
    List<Double> quiet = levels.stream().map(level -> QUIET * level.drivePeakVolts()).toList();
    List<String> troubles = new ArrayList<>(levels.stream().map(Levelling.Level::trouble).toList());
    List<RoughSweep.@Nullable Gains> first = gains(audio, sweep, quiet, troubles);
    List<Double> near = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      RoughSweep.Gains gains = first.get(c);
      near.add(gains == null ? 0 : nearer(levels.get(c), gains));
    }
    List<RoughSweep.@Nullable Gains> second =
        near.stream().anyMatch(drive -> drive > 0) ? gains(audio, sweep, near, troubles) : first;
    for (int c = 0; c < levels.size(); c++) {
      RoughSweep.Gains before = first.get(c);
      RoughSweep.Gains after = second.get(c);
      seen.add(
          before == null || after == null
              ? new Seen(null, troubles.get(c))
              : new Seen(
                  new Looks(quiet.get(c), near.get(c), after, before.smoothed(), after.smoothed()),
                  ""));
    }
    return new FirstLook(audio, levels, hertz, seen);
  }

  /** Plays the sweep; a channel without drive or with trouble shows nothing. */
  private static List<RoughSweep.@Nullable Gains> gains(
      ToneBench audio, RoughSweep sweep, List<Double> drives, List<String> troubles)
      throws InstrumentException {
    Capture capture = audio.exchange(drives.stream().map(sweep::samples).toList());
    List<RoughSweep.@Nullable Gains> gains = new ArrayList<>();
    for (int c = 0; c < drives.size(); c++) {
      ToneBench.Channel channel = audio.channels().get(c);
      if (troubles.get(c).isEmpty()) {
        troubles.set(c, audio.trouble(capture, channel));
      }
      gains.add(
          troubles.get(c).isEmpty()
              ? sweep.gains(drives.get(c), audio.input(capture, channel))
              : null);
    }
    return gains;
  }

  /** The drive of the second look, by what the first one shows. */
  private static double nearer(Levelling.Level level, RoughSweep.Gains gains) {
    double most = gains.at(gains.highestHz());
    double drive = NEARER * Math.sqrt(2) * level.outputVolts() / most;
    return Math.max(QUIET, Math.min(NEARER, drive / level.drivePeakVolts()))
        * level.drivePeakVolts();
  }

  /** What is known of each channel's gain at a frequency, rms over peak, to begin from there. */
  List<RisingGain> gains(double hz) {
    List<RisingGain> known = new ArrayList<>();
    for (Seen one : seen) {
      known.add(one.looks == null ? new RisingGain() : one.looks.at(hz).scaled(1 / Math.sqrt(2)));
    }
    return known;
  }

  /**
   * The drives with which no channel gives more anywhere in the band than its level says: where the
   * unit gives more than at the frequency of that level, the drive is lower, and the operator told.
   */
  List<Levelling.Level> held() throws InstrumentException {
    List<Levelling.Level> held = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Looks looks = seen.get(c).looks;
      held.add(
          looks == null
              ? Levelling.Level.none(seen.get(c).trouble)
              : held(audio.channels().get(c), levels.get(c), looks));
    }
    return held;
  }

  private Levelling.Level held(ToneBench.Channel channel, Levelling.Level level, Looks looks)
      throws InstrumentException {
    double peak = Math.sqrt(2) * level.outputVolts();
    double drive = level.drivePeakVolts();
    int loudest = 0;
    for (int i = 0; i < looks.near.size(); i++) {
      RisingGain gain = looks.of(i);
      if (gain.outputFor(drive) > peak) {
        drive = gain.driveFor(peak);
        loudest = i;
      }
    }
    // Not below the first look, which has been played: what is that loud is no gain.
    drive = Math.max(QUIET * level.drivePeakVolts(), drive);
    double lower = Levels.db(level.drivePeakVolts() / drive);
    if (lower > TOLD_DB) {
      double steady = Levels.db(level.drivePeakVolts() * looks.near.of(loudest) / peak);
      audio.notice(
          String.format(
              Locale.ROOT,
              "%sswept %.1f dB below the stated power, as the unit gives that much more at %s"
                  + " than at %s%s",
              audio.channels().size() > 1 ? channel.name() + ": " : "",
              lower,
              Quantity.of(looks.near.hz(loudest), Unit.HERTZ).display(),
              Quantity.of(hertz, Unit.HERTZ).display(),
              lower - steady > TOLD_DB ? ", where its gain rises with level" : ""));
    }
    return level.lowered(drive / level.drivePeakVolts());
  }
}
