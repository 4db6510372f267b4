package kitproof.cli;

import java.nio.file.Path;
import kitproof.signal.RecordedSweep;
import kitproof.signal.ResponseFigures;
import kitproof.signal.Sweep;
import kitproof.signal.SweptStimulus;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** The sweep that saved captures hold, as it was played. */
final class SweepOptions {
  private static final int POINTS_PER_OCTAVE = 12;

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Option(
      names = "--sweep",
      required = true,
      paramLabel = "RANGE",
      description =
          "The band of the sweep that was played, as in a plan: \"20 Hz..20 kHz\"; of a --stimulus"
              + " the part that is wanted.")
  private String band = "";

  @Option(
      names = "--duration",
      paramLabel = "TIME",
      description = "How long its band takes, as in a plan: \"2 s\".")
  private @Nullable String duration;

  @Option(
      names = "--stimulus",
      paramLabel = "FILE",
      description =
          "The file that was played, its first channel, instead of --duration: any exponential"
              + " sweep through the band of --sweep, at any sample rate. If it begins an octave"
              + " below the band, harmonics are clear of its beginning right down to the lower"
              + " edge.")
  private @Nullable Path stimulus;

  @Option(
      names = "--at",
      defaultValue = "1 kHz",
      paramLabel = "FREQUENCY",
      description = "Where figures are read off the curves (default: ${DEFAULT-VALUE}).")
  private String at = "";

  /** The sweep at a capture's nominal sample rate. */
  SweptStimulus sweep(double rate) {
    QuantityRange range = range();
    double high = range.high().value();
    if (stimulus != null) {
      return recorded(stimulus, range, rate);
    }
    double seconds = seconds();
    try {
      return Sweep.synchronised(range.low().value(), high, seconds, rate);
    } catch (IllegalArgumentException e) {
      throw wrong("--sweep: found " + e.getMessage() + "; expected a band inside the captures'", e);
    }
  }

  /** Looked at once for all captures. */
  private @Nullable RecordedSweep lastStimulus;

  private QuantityRange range() {
    try {
      QuantityRange range = QuantityRange.parse(band, Unit.HERTZ);
      if (range.low().value() > 0 && range.low().value() < range.high().value()) {
        return range;
      }
    } catch (IllegalArgumentException e) {
      throw wrong("--sweep: found \"" + band + "\"; expected " + e.getMessage(), e);
    }
    throw wrong("--sweep: found \"" + band + "\"; expected a band from above 0 Hz to more", null);
  }

  private double seconds() {
    if (duration == null) {
      throw wrong("Say how the sweep was played: --duration TIME or --stimulus FILE", null);
    }
    return new OptionText(spec).positive("--duration", duration, Unit.SECOND);
  }

  private RecordedSweep recorded(Path file, QuantityRange range, double rate) {
    if (duration != null) {
      throw wrong("--duration says nothing with --stimulus", null);
    }
    RecordedSweep known = lastStimulus;
    try {
      if (known == null) {
        WavFile wav = CaptureOptions.read(file, spec);
        known =
            RecordedSweep.of(
                wav.channel(0), wav.sampleRateHz(), range.low().value(), range.high().value());
        lastStimulus = known;
      }
    } catch (IllegalArgumentException e) {
      throw wrong(
          "--stimulus: found " + e.getMessage() + "; expected an exponential sweep through " + band,
          e);
    }
    if (range.high().value() > 0.49 * rate) {
      throw wrong(
          "--sweep: found \""
              + band
              + "\"; expected a band inside the captures', which have "
              + Math.round(rate)
              + " samples per second",
          null);
    }
    return known.at(rate);
  }

  /** Where figures are read off. */
  Quantity at() {
    double hz = new OptionText(spec).positive("--at", at, Unit.HERTZ);
    if (!range().contains(Quantity.of(hz, Unit.HERTZ))) {
      throw wrong("--at: found \"" + at + "\"; expected a frequency inside the sweep's band", null);
    }
    return Quantity.of(hz, Unit.HERTZ);
  }

  /** The frequencies to draw curves at. */
  static double[] frequencies(SweptStimulus sweep) {
    return ResponseFigures.logSpaced(sweep.startHz(), sweep.endHz(), POINTS_PER_OCTAVE);
  }

  private ParameterException wrong(String message, @Nullable Exception cause) {
    return new OptionText(spec).wrong(message, cause);
  }
}
