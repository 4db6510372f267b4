package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.ToneFigures;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Finds the drive for an output voltage, from below, on all channels of a step at once.
 *
 * <p>Begins so low that even a gain of 60 dB stays under the target. A tone that has come back
 * tells the gain; from far below the target the next drive aims short of it, so that a unit whose
 * gain rises with level, by up to 2 dB, does not overshoot, and from there on {@link RisingGain}
 * tells how far to go; one that compresses is approached from below. A channel that is there keeps
 * its drive while the others are brought up; one that cannot be levelled falls silent.
 */
final class Levelling {
  private static final double HIGHEST_GAIN = 1000;

  /** The next step while no tone stands out yet. */
  private static final double BLIND_STEP = 30;

  /** From further below than this the next drive aims short of the target. */
  private static final double FAR_BELOW = 0.25;

  private static final double SHORT_OF_TARGET = 0.8;
  private static final double GOOD_ENOUGH_DB = 0.01;

  /** The last step aims into the lower half of what is good enough: the target is a maximum. */
  private static final double JUST_BELOW = Math.pow(10, -GOOD_ENOUGH_DB / 2 / 20);

  static final int MOST_SHOTS = 12;
  private static final double SHOT_SECONDS = 0.08;

  /** Cycles that a shot holds at least, so that low tones are measured too. */
  private static final double FEWEST_CYCLES = 7;

  /** As little as the noise beside a tone is counted in, whatever the sample rate. */
  static final double NOISE_HERTZ = 20_000;

  /** Beyond this part of the sample rate the converter's own filter falls. */
  static final double HIGHEST_OF_RATE = 0.47;

  private Levelling() {}

  /**
   * What was found.
   *
   * @param drivePeakVolts the drive for the target; 0 if there is none
   * @param outputVolts the output with it, rms
   * @param figures of the tone with it, null if there is none
   * @param trouble why there is no such drive; empty if there is
   */
  record Level(
      double drivePeakVolts, double outputVolts, @Nullable ToneFigures figures, String trouble) {
    boolean found() {
      return trouble.isEmpty();
    }

    /** The same with a drive that is this many times as high, of which no figures are known. */
    Level lowered(double by) {
      return by == 1 || !found()
          ? this
          : new Level(drivePeakVolts * by, outputVolts * by, null, "");
    }

    /** How far its output was seen to be a steady one. */
    Factor observed() {
      return AudioTrust.observed("level", Objects.requireNonNull(figures), NOISE_HERTZ);
    }

    static Level none(String trouble) {
      return new Level(0, 0, null, trouble);
    }
  }

  /** One channel on its way to a level of one tone. */
  static final class Search {
    final ToneBench.Channel channel;
    final double target;
    final Quantity power;
    double drive;
    String reached = "nothing";
    Level level = Level.none("");
    boolean over;

    /** Whether the drive is meant to be the one. */
    boolean near;

    final RisingGain gain;

    Search(ToneBench.Channel channel, double target, Quantity power, RisingGain gain) {
      this.channel = channel;
      this.target = target;
      this.power = power;
      this.gain = gain;
      double start =
          gain.isKnown()
              ? gain.driveFor(target * SHORT_OF_TARGET)
              : target * Math.sqrt(2) / HIGHEST_GAIN;
      this.drive = Math.min(channel.highestDrivePeakVolts(), start);
    }

    void end(Level found) {
      level = found;
      drive = found.drivePeakVolts();
      over = true;
    }

    /** Takes what the last drive came to, and sets the next. */
    void take(ToneBench.Shot shot) {
      double step = BLIND_STEP;
      if (shot.good().isPresent()) {
        double output = shot.good().get().levelVolts();
        reached = String.format(Locale.ROOT, "%.3f V", output);
        if (Math.abs(Levels.db(output / target)) <= GOOD_ENOUGH_DB) {
          end(new Level(drive, output, shot.good().get(), ""));
          return;
        }
        near = output >= FAR_BELOW * target;
        gain.take(drive, output);
        step = gain.driveFor(target * (near ? JUST_BELOW : SHORT_OF_TARGET)) / drive;
      } else if (!shot.toneMissing()) {
        end(Level.none(shot.trouble()));
        return;
      }
      double highest = channel.highestDrivePeakVolts();
      if (drive >= highest && step > 1) {
        end(
            Level.none(
                String.format(
                    Locale.ROOT,
                    "%s (%.3f V) is not reached: with the highest drive of %.3f V the output is %s",
                    power,
                    target,
                    highest / Math.sqrt(2),
                    reached)));
        return;
      }
      drive = Math.min(highest, drive * step);
    }

    void giveUp() {
      end(
          Level.none(
              String.format(
                  Locale.ROOT,
                  "%s (%.3f V) is not reached: the output stays at %s however it is driven",
                  power,
                  target,
                  reached)));
    }
  }

  /** Levels every channel's output to this power in its own load; a level each, in order. */
  static List<Level> toPower(ToneBench audio, double hertz, Quantity power)
      throws InstrumentException {
    if (hertz >= HIGHEST_OF_RATE * audio.sampleRateHz()) {
      String trouble =
          String.format(
              Locale.ROOT,
              "%.0f Hz is too near half of the interface's sample rate of %.0f Hz",
              hertz,
              audio.sampleRateHz());
      return audio.channels().stream().map(channel -> Level.none(trouble)).toList();
    }
    CoherentTone tone = audio.tone(hertz, Math.max(SHOT_SECONDS, FEWEST_CYCLES / hertz));
    Band band = new Band(Math.min(20, hertz / 2), audio.sampleRateHz() / 2);
    return toPower(
        audio, tone, band, 2, power, audio.channels().stream().map(c -> new RisingGain()).toList());
  }

  /**
   * Levels with a tone that is to be analysed as well, from what is known of the gain at it.
   *
   * @param gains by channel; one of which nothing is known begins at the very bottom
   */
  static List<Level> toPower(
      ToneBench audio,
      CoherentTone tone,
      Band band,
      int harmonics,
      Quantity power,
      List<RisingGain> gains)
      throws InstrumentException {
    List<Search> searches = searches(audio, power, gains);
    for (int i = 0; i < MOST_SHOTS && !allOver(searches); i++) {
      double[] drives = searches.stream().mapToDouble(search -> search.drive).toArray();
      double within = within(searches);
      List<ToneBench.Shot> shots = audio.play(tone, drives, band, harmonics, within);
      for (int c = 0; c < searches.size(); c++) {
        if (!searches.get(c).over) {
          searches.get(c).take(shots.get(c));
        }
      }
    }
    searches.stream().filter(search -> !search.over).forEach(Search::giveUp);
    return searches.stream().map(search -> search.level).toList();
  }

  /** The search of each channel for this power, which it has not begun. */
  static List<Search> searches(ToneBench audio, Quantity power, List<RisingGain> gains)
      throws InstrumentException {
    audio.stated(power.in(Unit.WATT));
    List<Search> searches = new ArrayList<>();
    for (int c = 0; c < audio.channels().size(); c++) {
      ToneBench.Channel channel = audio.channels().get(c);
      double target = Levels.volts(power.in(Unit.WATT), audio.loadOhms(channel));
      Search search = new Search(channel, target, power, gains.get(c));
      if (target * Math.sqrt(2) > channel.highestInputPeakVolts()) {
        search.end(
            Level.none(
                String.format(
                    Locale.ROOT,
                    "%s needs %.3f V at the output, more than the interface's input takes",
                    power,
                    target)));
      }
      searches.add(search);
    }
    if (!allOver(searches)) {
      audio
          .ranges()
          .expect(
              Math.sqrt(2)
                  * searches.stream().mapToDouble(search -> search.target).max().orElse(0));
    }
    return searches;
  }

  /** How far the next shot must have settled. */
  static double within(List<Search> searches) {
    boolean near = searches.stream().anyMatch(search -> !search.over && search.near);
    return near ? Settle.AT_REST : Settle.ON_THE_WAY;
  }

  static boolean allOver(List<Search> searches) {
    return searches.stream().allMatch(search -> search.over);
  }
}
