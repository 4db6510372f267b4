package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.signal.FrequencyResponse;
import kitproof.signal.ResponseFigures;
import kitproof.signal.SweepCapture;
import kitproof.signal.SweptStimulus;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Frequency response, phase, polarity and harmonics from a captured sweep. */
@Command(
    name = "sweep",
    mixinStandardHelpOptions = true,
    description =
        "Finds frequency response, phase, polarity and harmonics in captures of a sweep. Where the"
            + " sweep begins and how fast the recorder's clock ran is found from it.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze sweep capture.wav --sweep \"20 Hz..20 kHz\" --duration \"2 s\""
    })
final class AnalyzeSweepCommand implements Callable<Integer> {
  private static final int HIGHEST_HARMONIC = 5;

  /** Stands for nothing at all, of which there are no decibels. */
  private static final double LEAST_DB = -240;

  @Mixin private CaptureOptions captures = new CaptureOptions();
  @Mixin private SweepOptions sweeps = new SweepOptions();
  @Mixin private ReferenceOptions reference = new ReferenceOptions();

  @Parameters(
      arity = "1..*",
      paramLabel = "FILE",
      description = "WAV or FLAC files, every channel of each.")
  private List<Path> files = List.of();

  @Option(
      names = "--drive",
      paramLabel = "VOLTS",
      description =
          "With how much the sweep was played, such as \"0.5 V\" (rms) or \"0.7 V peak\"; with"
              + " --full-scale it gives the gain.")
  private @Nullable String drive;

  @Option(
      names = "--drop",
      paramLabel = "DECIBELS",
      defaultValue = "3 dB",
      description = "The drop that makes a corner (default: ${DEFAULT-VALUE}).")
  private String drop = "";

  @Override
  public Integer call() {
    captures.drivePeakVolts(drive, 1); // wrong before anything is read
    if (drive != null && reference.channel() > 0) {
      throw captures.wrong("--drive says nothing with --reference", null);
    }
    List<Measurement> all = new ArrayList<>();
    for (Path file : files) {
      WavFile wav = captures.read(file);
      SweptStimulus sweep = sweeps.sweep(wav.sampleRateHz());
      reference.require(captures, file, wav);
      for (int channel = 1; channel <= wav.channels(); channel++) {
        if (channel == reference.channel()) {
          continue;
        }
        Conditions conditions = Conditions.NONE;
        if (files.size() > 1) {
          conditions = conditions.with("file", file.toString());
        }
        if (wav.channels() > 1) {
          conditions = conditions.with("channel", String.valueOf(channel));
        }
        all.addAll(of(file, wav, channel, sweep, conditions));
      }
    }
    return captures.tell(files.get(0).getFileName().toString(), all);
  }

  private List<Measurement> of(
      Path file, WavFile wav, int channel, SweptStimulus sweep, Conditions conditions) {
    if (wav.clipped(channel - 1)) {
      return List.of(
          Measurement.invalid("frequency response", conditions, "the capture reaches full scale"));
    }
    try {
      SweepCapture found =
          SweepCapture.of(
              sweep, captures.drivePeakVolts(drive, 1), captures.volts(file, wav, channel));
      return results(found, input(file, wav, sweep), sweep, conditions);
    } catch (IllegalArgumentException e) {
      return List.of(
          Measurement.invalid("frequency response", conditions, String.valueOf(e.getMessage())));
    }
  }

  private List<Measurement> results(
      SweepCapture found, Against input, SweptStimulus sweep, Conditions conditions) {
    double[] hz = SweepOptions.frequencies(sweep);
    double at = sweeps.at().value();
    FrequencyResponse linear = found.linear();
    Curve level = input.less(linear.magnitudeDb(hz), input.level);
    Curve response = ResponseFigures.relativeTo(level, at);
    List<Measurement> all = new ArrayList<>();
    all.add(
        Measurement.of(
            "start", conditions, Quantity.of(Math.max(0, found.startSeconds()), Unit.SECOND)));
    all.add(
        Measurement.of(
            "clock deviation",
            conditions,
            Quantity.of(100 * (found.clockRatio() - 1), Unit.PERCENT)));
    if (drive != null || reference.channel() > 0) {
      all.add(
          Measurement.of(
              "gain",
              conditions.with("frequency", sweeps.at().display()),
              Quantity.of(ResponseFigures.levelDb(level, at), Unit.DECIBEL)));
    }
    all.add(Measurement.of("frequency response", conditions, response));
    all.add(
        Measurement.of(
            "phase",
            conditions.with("delay", "fitted"),
            ResponseFigures.placedPhase(input.less(linear.phase(hz), input.phase))));
    boolean inverted = found.inverted() != input.inverted;
    all.add(Measurement.of("polarity", conditions, Quantity.of(inverted ? -1 : 1, Unit.ONE)));
    corners(all, response, at, conditions);
    harmonics(all, found, sweep, conditions);
    return all;
  }

  /** The input that a channel is told against: nothing, or what another channel recorded. */
  private record Against(@Nullable Curve level, @Nullable Curve phase, boolean inverted) {
    Curve less(Curve curve, @Nullable Curve input) {
      if (input == null) {
        return curve;
      }
      double[] y = curve.ys();
      for (int i = 0; i < y.length; i++) {
        y[i] -= input.y(i);
      }
      return Curve.of(curve.xUnit(), curve.xs(), curve.yUnit(), y);
    }
  }

  private Against input(Path file, WavFile wav, SweptStimulus sweep) {
    int channel = reference.channel();
    if (channel == 0) {
      return new Against(null, null, false);
    }
    if (wav.clipped(channel - 1)) {
      throw new IllegalArgumentException("the reference reaches full scale");
    }
    double peak = captures.fullScalePeakVolts();
    double[] volts = captures.volts(file, wav, channel);
    double[] hz = SweepOptions.frequencies(sweep);
    // Volts over volts: what the reference's full scale is more than the others' counts as drive.
    SweepCapture found = SweepCapture.of(sweep, peak / reference.peakVolts(captures, peak), volts);
    FrequencyResponse linear = found.linear();
    return new Against(linear.magnitudeDb(hz), linear.phase(hz), found.inverted());
  }

  private void corners(
      List<Measurement> all, Curve response, double reference, Conditions conditions) {
    double db;
    try {
      db = Quantity.parse(drop, Unit.DECIBEL).value();
    } catch (IllegalArgumentException e) {
      throw captures.wrong("--drop: found \"" + drop + "\"; expected " + e.getMessage(), e);
    }
    if (!(db > 0)) {
      throw captures.wrong("--drop: found \"" + drop + "\"; expected decibels above zero", null);
    }
    Conditions more = conditions.with("drop", Quantity.of(db, Unit.DECIBEL).display());
    corner(all, "lower corner", more, ResponseFigures.lowerCornerHz(response, db, reference));
    corner(all, "upper corner", more, ResponseFigures.upperCornerHz(response, db, reference));
  }

  /** A response that does not fall so far inside the sweep has no such corner to tell. */
  private static void corner(
      List<Measurement> all, String name, Conditions conditions, OptionalDouble hz) {
    hz.ifPresent(f -> all.add(Measurement.of(name, conditions, Quantity.of(f, Unit.HERTZ))));
  }

  /** Each relative to the fundamental, against the frequency that was played. */
  private static void harmonics(
      List<Measurement> all, SweepCapture found, SweptStimulus sweep, Conditions conditions) {
    FrequencyResponse linear = found.response().linear();
    for (int order = 2; order <= HIGHEST_HARMONIC; order++) {
      String name = String.format(Locale.ROOT, "harmonic %d against frequency", order);
      found
          .response()
          .harmonic(order)
          .ifPresent(
              harmonic -> {
                double high = harmonic.band().highHz();
                if (high < 2 * sweep.startHz()) {
                  return;
                }
                double[] hz = ResponseFigures.logSpaced(sweep.startHz(), high, 12);
                double[] db = new double[hz.length];
                for (int i = 0; i < hz.length; i++) {
                  db[i] = Math.max(LEAST_DB, harmonic.gainDb(hz[i]) - linear.gainDb(hz[i]));
                }
                all.add(
                    Measurement.of(name, conditions, Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, db)));
              });
    }
  }
}
