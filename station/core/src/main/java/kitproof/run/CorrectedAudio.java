package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import kitproof.calibration.Calibration;
import kitproof.calibration.Known;
import kitproof.calibration.PathResponse;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.signal.PathInverse;
import kitproof.value.Quantity;
import kitproof.value.Signal;
import org.jspecify.annotations.Nullable;

/**
 * An audio interface whose volts are true volts: the only place where a calibration touches a
 * signal.
 *
 * <p>Outputs get what makes the wanted volts at their terminals. Captures are scaled by the full
 * scale of the input in the range that is selected, and level and phase of the path are taken out
 * of them. All of the path is given to the capture, as a loop of output and input cannot tell the
 * two apart.
 */
final class CorrectedAudio extends PassedOnAudio {
  private final String role;
  private final Calibration calibration;
  private final List<Route> ranges;
  private final Supplier<@Nullable Route> selected;

  /**
   * Over an interface.
   *
   * @param ranges the input ranges of the bench; empty if it has none
   * @param selected the one that is selected now; null if there are none
   */
  CorrectedAudio(
      AudioInterface audio,
      String role,
      Calibration calibration,
      List<Route> ranges,
      Supplier<@Nullable Route> selected) {
    super(audio);
    this.role = role;
    this.calibration = calibration;
    this.ranges = List.copyOf(ranges);
    this.selected = selected;
  }

  /**
   * Outputs with their true full scale; inputs with the lowest that any capture of theirs can have,
   * so that one which was cut off is never taken for one that was not.
   */
  @Override
  public AudioPorts ports() {
    AudioPorts nominal = beneath().ports();
    List<AudioPort> outputs = new ArrayList<>();
    for (AudioPort port : nominal.outputs()) {
      outputs.add(new AudioPort(port.name(), port.fullScalePeakVolts() * output(port)));
    }
    List<AudioPort> inputs = new ArrayList<>();
    for (AudioPort port : nominal.inputs()) {
      double least = ranges.isEmpty() ? lowest(port, null) : Double.POSITIVE_INFINITY;
      for (Route range : ranges) {
        least = Math.min(least, lowest(port, range));
      }
      inputs.add(new AudioPort(port.name(), port.fullScalePeakVolts() * least));
    }
    return new AudioPorts(nominal.sampleRateHz(), outputs, inputs);
  }

  /** True over nominal full scale of an output. */
  private double output(AudioPort port) {
    return calibration
        .output(role, port.name())
        .map(known -> known.value().value() * Math.sqrt(2) / port.fullScalePeakVolts())
        .orElse(1.0);
  }

  /** True over nominal full scale of an input. */
  private double input(AudioPort port, @Nullable Route range) {
    Optional<Known> known =
        calibration.input(role, port.name(), range == null ? null : range.name());
    Quantity ofRange = range == null ? null : range.fullScale();
    double nominal = ofRange == null ? port.fullScalePeakVolts() / Math.sqrt(2) : ofRange.value();
    return known.map(k -> k.value().value() / nominal).orElse(1.0);
  }

  /**
   * What a sample at full scale becomes at least, where the path has more level than at its tone.
   */
  private double lowest(AudioPort port, @Nullable Route range) {
    double highest =
        calibration
            .path(role, port.name(), range == null ? null : range.name())
            .map(PathResponse::highest)
            .orElse(0.0);
    return input(port, range) * Math.pow(10, -Math.max(0, highest) / 20);
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    AudioPorts nominal = beneath().ports();
    Route range = selected.get();
    double[][] played = new double[stimulus.channels()][];
    for (int c = 0; c < played.length; c++) {
      double by = c < nominal.outputs().size() ? output(nominal.outputs().get(c)) : 1;
      played[c] = scaled(stimulus.channel(c), 1 / by);
    }
    Capture capture = beneath().exchange(Signal.of(stimulus.sampleRateHz(), played));
    Signal taken = capture.signal();
    double[][] volts = new double[taken.channels()][];
    for (int c = 0; c < volts.length; c++) {
      AudioPort port = nominal.inputs().get(c);
      double[] scaled = scaled(taken.channel(c), input(port, range));
      volts[c] = undone(scaled, port, range, stimulus.sampleRateHz());
    }
    return new Capture(Signal.of(taken.sampleRateHz(), volts), capture.clipped(), capture.lost());
  }

  private double[] undone(double[] samples, AudioPort port, @Nullable Route range, double rate) {
    Optional<PathResponse> path =
        calibration.path(role, port.name(), range == null ? null : range.name());
    if (path.isEmpty()) {
      return samples;
    }
    double delay =
        calibration.delay(role, port.name()).map(known -> known.value().value()).orElse(0.0);
    PathResponse of = path.get();
    return PathInverse.undo(
        PathInverse.undoCoupling(samples, rate, of.corner()),
        rate,
        of::remainingLevel,
        hertz -> of.remainingPhase(hertz) - 360 * hertz * delay);
  }

  private static double[] scaled(double[] samples, double by) {
    if (by != 1) {
      for (int i = 0; i < samples.length; i++) {
        samples[i] *= by;
      }
    }
    return samples;
  }
}
