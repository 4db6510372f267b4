package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepResponse;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * What came back of a sweep on one channel. It is analysed while the next one plays, and whoever
 * asks for the response waits for it.
 *
 * @param found the responses; null if there is trouble
 * @param trouble why it cannot be trusted; empty if it can
 */
record SweepShot(@Nullable Meanwhile<SweepResponse> found, String trouble) {
  /**
   * The drives with which the sweep gives this power at a frequency in its band, and nowhere more.
   *
   * @return by channel
   */
  static List<Levelling.Level> levels(
      ToneBench audio, ReadySweep sweep, double hertz, Quantity power) throws InstrumentException {
    List<Levelling.Level> levels = Levelling.toPower(audio, hertz, power);
    double low = sweep.sweep().startHz();
    double high = sweep.sweep().endHz();
    return FirstLook.at(audio, low, high, hertz, levels).held();
  }

  /**
   * Plays the sweep with its tail on every channel that has a level, in one exchange.
   *
   * @return by channel; one without a level tells its trouble
   */
  static List<SweepShot> play(ToneBench audio, ReadySweep sweep, List<Levelling.Level> levels)
      throws InstrumentException {
    boolean any = levels.stream().anyMatch(Levelling.Level::found);
    Capture capture =
        any
            ? exchange(
                audio,
                sweep,
                levels.stream().map(level -> sweep.samples(level.drivePeakVolts())).toList())
            : null;
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

  /** Plays the sweep, or silence of its length, as it is given by channel. */
  static Capture exchange(ToneBench audio, ReadySweep sweep, List<double[]> stimuli)
      throws InstrumentException {
    Capture capture = audio.exchange(stimuli);
    audio.settled(sweep.tail());
    return capture;
  }

  /** What a capture shows of the sweep on one channel. */
  static SweepShot of(
      ToneBench audio,
      Capture capture,
      ToneBench.Channel channel,
      ReadySweep sweep,
      double peakVolts) {
    String trouble = audio.trouble(capture, channel);
    if (!trouble.isEmpty()) {
      return new SweepShot(null, trouble);
    }
    double[] volts = audio.input(capture, channel);
    return new SweepShot(
        Meanwhile.begin(() -> SweepAnalysis.response(sweep.sweep(), peakVolts, volts)), "");
  }

  boolean good() {
    return trouble.isEmpty();
  }

  /** The responses of a good shot. */
  SweepResponse response() {
    return Objects.requireNonNull(found).get();
  }
}
