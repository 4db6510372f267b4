package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;
import kitproof.value.Unit;

/**
 * A tone at a looped output that a meter reads while it is on. No interface tells when within an
 * exchange that was: where no reading lay within the tone for certain, it is played again, longer
 * by what the meter and the interface took, and stays as long for the tones after it.
 */
final class MeteredTone {
  private static final int MOST_TONES = 4;

  /** Room for readings that take a little longer than those before. */
  private static final double SPARE = 1.1;

  private static final Duration BETWEEN_READINGS = Duration.ofMillis(100);

  private final LineCalibration line;
  private final String audio;
  private final double hertz;
  private final double peakVolts;
  private final Duration from;
  private LineCalibration.Tone tone;
  private double seconds = LineCalibration.SETTLE_SECONDS;

  /**
   * On a channel.
   *
   * @param audio the role of the interface
   * @param peakVolts of the tone, as asked of the output
   */
  MeteredTone(LineCalibration line, String audio, double hertz, double peakVolts) {
    this.line = line;
    this.audio = audio;
    this.hertz = hertz;
    this.peakVolts = peakVolts;
    this.tone = line.tone(hertz, peakVolts, seconds);
    this.from = tone.settled();
  }

  /**
   * What the meter and the interface had of it.
   *
   * @param volts mean of the readings, rms
   * @param capture of the exchange in which they were taken
   * @param tone where its block lies
   */
  record Taken(double volts, Capture capture, LineCalibration.Tone tone) {}

  /**
   * Plays it once, or again until a reading counts.
   *
   * @throws InstrumentException if none does, or the meter shows no volts
   */
  Taken read(StepBench bench, String meter, String function)
      throws InstrumentException, InterruptedException {
    int lost = 0;
    for (int i = 0; i < MOST_TONES + lost; i++) {
      LineCalibration.Tone now = tone;
      StepBench.Beside<Capture> taken =
          bench.readWhilePlaying(
              meter, function, from, BETWEEN_READINGS, () -> line.once(audio, now.samples()));
      if (taken.result().lost()) { // then what the meter read is of a tone that had gaps, perhaps
        if (++lost == LineCalibration.MOST_TAKES) {
          throw LineCalibration.lost();
        }
        continue;
      }
      if (!taken.readings().isEmpty()) {
        return new Taken(mean(taken.readings()), taken.result(), now);
      }
      seconds += SPARE * seconds(taken.longestReading()) + seconds(taken.beyondSignal());
      tone = line.tone(hertz, peakVolts, seconds);
    }
    throw new InstrumentException(
        InstrumentException.Kind.OTHER,
        "the meter is too slow: none of its readings lay within the tone");
  }

  private static double seconds(Duration duration) {
    return duration.toNanos() / 1e9;
  }

  private static double mean(List<Reading> readings) throws InstrumentException {
    double sum = 0;
    for (Reading reading : readings) {
      if (!(reading instanceof Reading.Value value && value.quantity().value() > 0)) {
        throw new InstrumentException(
            InstrumentException.Kind.OTHER,
            "the meter shows no volts while the tone plays: " + reading);
      }
      sum += value.quantity().in(Unit.VOLT);
    }
    return sum / readings.size();
  }
}
