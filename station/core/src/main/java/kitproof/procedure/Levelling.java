package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Finds the drive for an output voltage, from below, on all channels of a step at once.
 *
 * <p>Begins so low that even a gain of 60 dB stays under the target. A tone that has come back
 * tells the gain; from far below the target the next drive aims a little short of it, so that a
 * unit whose gain rises with level does not overshoot, and one that compresses is approached from
 * below. A channel that is there keeps its drive while the others are brought up; one that cannot
 * be levelled falls silent.
 */
final class Levelling {
  private static final double HIGHEST_GAIN = 1000;

  /** The next step while no tone stands out yet. */
  private static final double BLIND_STEP = 30;

  /** From further below than this the next drive aims short of the target. */
  private static final double FAR_BELOW = 0.25;

  private static final double SHORT_OF_TARGET = 0.9;
  private static final double GOOD_ENOUGH_DB = 0.01;

  /** The last step aims into the lower half of what is good enough: the target is a maximum. */
  private static final double JUST_BELOW = Math.pow(10, -GOOD_ENOUGH_DB / 2 / 20);

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
   * @param drivePeakVolts the drive for the target; 0 if there is none
   * @param outputVolts the output with it, rms
   * @param trouble why there is no such drive; empty if there is
   */
  record Level(double drivePeakVolts, double outputVolts, String trouble) {
    boolean found() {
      return trouble.isEmpty();
    }

    private static Level none(String trouble) {
      return new Level(0, 0, trouble);
    }
  }

  /** One channel on its way. */
  private static final class Search {
    final ToneBench.Channel channel;
    final double target;
    final Quantity power;
    double drive;
    String reached = "nothing";
    Level level = Level.none("");
    boolean over;

    Search(ToneBench.Channel channel, double target, Quantity power) {
      this.channel = channel;
      this.target = target;
      this.power = power;
      this.drive = Math.min(channel.highestDrivePeakVolts(), target * Math.sqrt(2) / HIGHEST_GAIN);
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
          end(new Level(drive, output, ""));
          return;
        }
        step = target / output * (output < FAR_BELOW * target ? SHORT_OF_TARGET : JUST_BELOW);
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
    List<Search> searches = new ArrayList<>();
    for (ToneBench.Channel channel : audio.channels()) {
      double target = Levels.volts(power.in(Unit.WATT), audio.loadOhms(channel));
      Search search = new Search(channel, target, power);
      if (target * Math.sqrt(2) > channel.highestInputPeakVolts()) {
        search.end(
            Level.none(
                String.format(
                    Locale.ROOT,
                    "%s needs %.3f V at the output, more than the interface's input takes",
                    power,
                    target)));
      } else if (hertz >= HIGHEST_OF_RATE * audio.sampleRateHz()) {
        search.end(
            Level.none(
                String.format(
                    Locale.ROOT,
                    "%.0f Hz is too near half of the interface's sample rate of %.0f Hz",
                    hertz,
                    audio.sampleRateHz())));
      }
      searches.add(search);
    }
    find(audio, hertz, searches);
    return searches.stream().map(search -> search.level).toList();
  }

  private static void find(ToneBench audio, double hertz, List<Search> searches)
      throws InstrumentException {
    if (searches.stream().allMatch(search -> search.over)) {
      return;
    }
    CoherentTone tone = audio.tone(hertz, Math.max(SHOT_SECONDS, FEWEST_CYCLES / hertz));
    Band band = new Band(Math.min(20, hertz / 2), audio.sampleRateHz() / 2);
    for (int i = 0; i < MOST_SHOTS; i++) {
      double[] drives = searches.stream().mapToDouble(search -> search.drive).toArray();
      List<ToneBench.Shot> shots = audio.play(tone, drives, band, 2);
      for (int c = 0; c < searches.size(); c++) {
        if (!searches.get(c).over) {
          searches.get(c).take(shots.get(c));
        }
      }
      if (searches.stream().allMatch(search -> search.over)) {
        return;
      }
    }
    searches.stream().filter(search -> !search.over).forEach(Search::giveUp);
  }
}
