package kitproof.procedure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.Staircase;
import kitproof.signal.ToneFigures;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Climbs from a low power to a highest one in stairs of one tone, on all channels at once.
 *
 * <p>A few captures hold all stairs: the first goes up to a quarter of the highest power, the next
 * ones end short of it, so that the gain that was last measured tells how far a drive may go. As a
 * unit compresses on its way up, no stair goes beyond the highest power. A channel ends when its
 * distortion reaches the stop criterion, at the highest power or at the highest drive.
 *
 * <p>One capture for all cannot be: an interface plays what it was given as a whole, and for a unit
 * that clips below the highest power the last drive is not known before the stairs below have been
 * heard; it would be driven far past the stop criterion. A capture more repeats no stair and costs
 * the way to silence and back, 10 ms, and what the interface takes beyond a signal.
 */
final class PowerStairs {
  /** From further below than this the way to the highest drive is gone in two parts. */
  private static final double FAR = 2.2;

  private static final double NEAR = 1.2;
  private static final double JUST_BELOW = 0.89;

  /** A last stair that is not worth it. */
  private static final double SMALLEST_STEP = 1.01;

  private static final int MOST_SECTIONS = 12;

  /** Distortion that is still falling is noise; it has risen when it is above its least by this. */
  private static final double RISEN = 1.5;

  private PowerStairs() {}

  /**
   * What to climb with.
   *
   * @param hertz the tone
   * @param blockSeconds how long each stair is listened to
   * @param band the measuring band of thd+n
   * @param harmonics the highest harmonic
   * @param from the lowest power
   * @param to the highest power, never exceeded
   * @param step ratio of drives from stair to stair, above 1
   * @param until thd+n that ends the climb, as a ratio
   */
  record Way(
      double hertz,
      double blockSeconds,
      Band band,
      int harmonics,
      Quantity from,
      Quantity to,
      double step,
      double until) {}

  /**
   * One stair.
   *
   * @param watts of the tone in the load
   * @param inputVolts the drive, rms
   * @param figures of the output
   * @param own thd+n of the station itself, 0 if it is not known
   * @param ownThd thd of the station itself, 0 if it is not known
   * @param trust how well it is known; empty on a bench without calibration
   */
  record Stair(
      double watts,
      double inputVolts,
      ToneFigures figures,
      double own,
      double ownThd,
      Optional<Trusted> trust) {
    /** One of which nothing else is known. */
    Stair(double watts, double inputVolts, ToneFigures figures) {
      this(watts, inputVolts, figures, 0, 0, Optional.empty());
    }
  }

  /**
   * How well a stair is known.
   *
   * @param drive of what is played
   * @param watts of its power
   */
  record Trusted(DistortionTrust distortion, Factor drive, Factor watts) {
    /**
     * Of the drive for a stated power.
     *
     * @param rise relative change of the drive per relative change of the power
     */
    Factor input(double rise) {
      return drive.over(watts.power(rise));
    }

    static Optional<Trusted> of(
        ToneBench audio,
        ToneBench.Channel channel,
        ToneFigures figures,
        double drivePeakVolts,
        Band band) {
      double hertz = figures.frequencyHz();
      return audio
          .trust()
          .map(
              trust -> {
                Factor seen = AudioTrust.observed("level", figures, Levelling.NOISE_HERTZ);
                Factor volts = trust.volts(channel, hertz).times(seen);
                Factor load = trust.load(channel);
                return new Trusted(
                    DistortionTrust.of(audio, channel, figures, drivePeakVolts, band).orElseThrow(),
                    trust.drive(channel, hertz),
                    volts.power(2).over(load));
              });
    }
  }

  /**
   * A channel's stairs.
   *
   * @param trouble why there are none; empty if there are
   */
  record Climb(List<Stair> stairs, String trouble) {
    Climb {
      stairs = List.copyOf(stairs);
    }
  }

  /** One channel on its way. */
  private static final class Climber {
    final ToneBench.Channel channel;
    final double ohms;
    final double toWatts;
    final Way way;
    final List<Stair> stairs = new ArrayList<>();
    final RisingGain gain = new RisingGain();
    double lastDrive;
    double lastWatts;
    double least = Double.POSITIVE_INFINITY;
    String trouble = "";
    boolean over;

    Climber(ToneBench.Channel channel, double ohms, Way way, Levelling.Level level) {
      this.channel = channel;
      this.ohms = ohms;
      this.way = way;
      this.toWatts = way.to.value();
      this.lastDrive = level.drivePeakVolts();
      this.trouble = level.trouble();
      this.over = !level.found();
      this.lastWatts = level.found() ? Levels.watts(level.outputVolts(), ohms) : 0;
      if (level.found()) {
        gain.take(lastDrive, level.outputVolts());
      }
    }

    /** Peak of the output over that of the drive, as it was last measured. */
    double lastGain() {
      return Math.sqrt(2 * lastWatts * ohms) / lastDrive;
    }

    /** The drives of the next section; none if there is no further to go. */
    double[] next() {
      double highest = channel.highestDrivePeakVolts();
      double roof = Math.min(highest, gain.driveFor(Levels.volts(toWatts, ohms)));
      double left = roof / lastDrive;
      double end = left > FAR ? roof / 2 : left > NEAR ? roof * JUST_BELOW : roof;
      List<Double> drives = new ArrayList<>();
      double drive = stairs.isEmpty() ? lastDrive : lastDrive * way.step;
      while (drive <= end) {
        drives.add(drive);
        drive *= way.step;
      }
      double reached = drives.isEmpty() ? lastDrive : drives.get(drives.size() - 1);
      if (end / reached > SMALLEST_STEP && (end == roof || drives.isEmpty())) {
        drives.add(end);
      }
      return drives.stream().mapToDouble(d -> d).toArray();
    }

    /** Takes one stair; whether it is one to go on from. */
    void take(ToneBench audio, double drive, ToneBench.Shot shot) {
      if (shot.good().isEmpty()) {
        over = true;
        trouble = stairs.isEmpty() ? shot.trouble() : "";
        return;
      }
      ToneFigures figures = shot.good().get();
      double watts = Levels.watts(figures.levelVolts(), ohms);
      if (!stairs.isEmpty() && watts <= lastWatts) {
        over = true; // it gives no more
        return;
      }
      double input = drive / Math.sqrt(2);
      double volts = figures.levelVolts();
      double hertz = figures.frequencyHz();
      stairs.add(
          new Stair(
              watts,
              input,
              figures,
              audio.own().thdPlusNoise(channel, volts, hertz, volts / input, way.band),
              audio.own().thd(channel, volts, hertz),
              Trusted.of(audio, channel, figures, drive, way.band)));
      gain.take(drive, figures.levelVolts());
      lastDrive = drive;
      lastWatts = watts;
      least = Math.min(least, figures.thdPlusNoise());
      over =
          figures.thdPlusNoise() >= way.until && figures.thdPlusNoise() > RISEN * least
              || watts >= toWatts;
    }
  }

  /** Climbs; by channel. */
  static List<Climb> climb(ToneBench audio, Way way) throws InstrumentException {
    List<Climber> climbers = new ArrayList<>();
    audio.stated(way.to.in(Unit.WATT));
    List<Levelling.Level> levels = Levelling.toPower(audio, way.hertz, way.from);
    for (int c = 0; c < levels.size(); c++) {
      ToneBench.Channel channel = audio.channels().get(c);
      climbers.add(new Climber(channel, audio.loadOhms(channel), way, levels.get(c)));
    }
    CoherentTone tone = audio.tone(way.hertz, way.blockSeconds);
    for (int section = 0; section < MOST_SECTIONS; section++) {
      List<double[]> drives = new ArrayList<>();
      for (Climber climber : climbers) {
        drives.add(climber.over ? new double[0] : climber.next());
        climber.over |= drives.get(drives.size() - 1).length == 0;
      }
      if (climbers.stream().allMatch(climber -> climber.over)) {
        break;
      }
      double highest = 0;
      for (int c = 0; c < climbers.size(); c++) {
        for (double drive : drives.get(c)) {
          highest = Math.max(highest, drive * climbers.get(c).lastGain());
        }
      }
      audio.ranges().expect(highest);
      section(audio, way, tone, climbers, drives);
    }
    return climbers.stream().map(climber -> new Climb(climber.stairs, climber.trouble)).toList();
  }

  /** Plays one section and takes its stairs. */
  private static void section(
      ToneBench audio, Way way, CoherentTone tone, List<Climber> climbers, List<double[]> drives)
      throws InstrumentException {
    int[] stairs = drives.stream().mapToInt(own -> own.length).toArray();
    int longest = Arrays.stream(stairs).max().orElseThrow();
    Settle.Played played =
        audio
            .settle()
            .play(
                audio,
                tone.frequencyHz(),
                tone.blockLength(),
                stairs,
                Settle.AT_REST,
                samples ->
                    drives.stream()
                        .map(own -> new Staircase(tone, samples, Arrays.copyOf(own, longest)))
                        .map(Staircase::samples)
                        .toList());
    int stair = played.samples() + tone.blockLength();
    for (int c = 0; c < climbers.size(); c++) {
      Climber climber = climbers.get(c);
      for (int k = 0; k < stairs[c] && !climber.over; k++) {
        int block = k * stair + played.samples();
        climber.take(
            audio,
            drives.get(c)[k],
            audio.shot(played.capture(), climber.channel, block, tone, way.band, way.harmonics));
      }
      if (!climber.stairs.isEmpty()) {
        audio.show(tone, climber.channel, climber.stairs.get(climber.stairs.size() - 1));
      }
    }
  }
}
