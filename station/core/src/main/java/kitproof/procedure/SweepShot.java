package kitproof.procedure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Sweep;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepResponse;
import org.jspecify.annotations.Nullable;

/**
 * What came back of a sweep on one channel.
 *
 * @param found the responses; null if there is trouble
 * @param trouble why it cannot be trusted; empty if it can
 */
record SweepShot(@Nullable SweepResponse found, String trouble) {
  /** Left to ring out after the sweep, seconds. */
  private static final double TAIL_SECONDS = 0.1;

  /**
   * Plays the sweep with its tail on every channel that has a level, in one exchange.
   *
   * @return by channel; one without a level tells its trouble
   */
  static List<SweepShot> play(ToneBench audio, Sweep sweep, List<Levelling.Level> levels)
      throws InstrumentException {
    double[] unit = stimulus(sweep, 1);
    List<double[]> stimuli =
        levels.stream().map(level -> ToneBench.scaled(unit, level.drivePeakVolts())).toList();
    boolean any = levels.stream().anyMatch(Levelling.Level::found);
    Capture capture = any ? audio.exchange(stimuli) : null;
    audio.settled(any ? unit.length - sweep.length() : 0);
    List<SweepShot> shots = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Levelling.Level level = levels.get(c);
      shots.add(
          level.found() && capture != null
              ? of(audio, capture, audio.channels().get(c), sweep, level.drivePeakVolts())
              : new SweepShot(null, level.trouble()));
    }
    return shots;
  }

  /** What a capture shows of the sweep on one channel. */
  static SweepShot of(
      ToneBench audio, Capture capture, ToneBench.Channel channel, Sweep sweep, double peakVolts) {
    String trouble = audio.trouble(capture, channel);
    return trouble.isEmpty()
        ? new SweepShot(SweepAnalysis.response(sweep, peakVolts, audio.input(capture, channel)), "")
        : new SweepShot(null, trouble);
  }

  /** The sweep's samples and silence for the tail; all silence with a peak of 0. */
  static double[] stimulus(Sweep sweep, double peakVolts) {
    int length = sweep.length() + (int) (TAIL_SECONDS * sweep.sampleRateHz());
    return peakVolts == 0 ? new double[length] : Arrays.copyOf(sweep.samples(peakVolts), length);
  }

  boolean good() {
    return trouble.isEmpty();
  }

  /** The responses of a good shot. */
  SweepResponse response() {
    return Objects.requireNonNull(found);
  }
}
