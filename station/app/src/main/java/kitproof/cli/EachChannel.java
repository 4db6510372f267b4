package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import kitproof.procedure.SavedCapture;
import kitproof.signal.Levels;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Saved captures that are measured channel by channel, each on its own. */
final class EachChannel {
  @Mixin CaptureOptions captures = new CaptureOptions();

  @Parameters(
      arity = "1..*",
      paramLabel = "FILE",
      description = "WAV (16, 24, 32 bit, float) or FLAC files.")
  private List<Path> files = List.of();

  @Option(
      names = "--channel",
      paramLabel = "N",
      description = "Only this channel, from 1 (default: every channel).")
  private @Nullable Integer only;

  @Option(
      names = "--from",
      paramLabel = "TIME",
      description = "Leave out what comes before this, such as \"500 ms\".")
  private @Nullable String from;

  @Option(
      names = "--for",
      paramLabel = "TIME",
      description = "Look at no more than this (default: up to the end).")
  private @Nullable String length;

  /**
   * What is measured.
   *
   * @param volts of one channel; where volts are not known, a full-scale sine has one
   * @param rate samples per second
   * @param conditions which file and channel
   * @param file the whole of it
   * @param first the sample of the file that the volts begin with
   */
  record Part(double[] volts, double rate, Conditions conditions, WavFile file, int first) {
    /** Another channel over the same time, shares of full scale; counted from 1. */
    double[] other(int channel) {
      return Arrays.copyOfRange(file.channel(channel - 1), first, first + volts.length);
    }

    /** For the analyses that the procedures share; without a load no power is told. */
    SavedCapture saved(OptionalDouble loadOhms) {
      return new SavedCapture(volts, rate, conditions, loadOhms);
    }
  }

  /** How. */
  interface Analysis {
    /**
     * Measures.
     *
     * @throws IllegalArgumentException with the reason why nothing can be found
     */
    List<Measurement> of(Part part);
  }

  /** As the other, with no channel left out. */
  int analyse(String name, Analysis analysis) {
    return analyse(name, 0, analysis);
  }

  /**
   * Reads, measures and tells.
   *
   * @param name of the result that matters: it is invalid where nothing can be found
   * @param leftOut a channel that is not measured, from 1; 0 for none
   */
  int analyse(String name, int leftOut, Analysis analysis) {
    double scale = captures.inVolts() ? captures.fullScalePeakVolts() : Math.sqrt(2);
    double begin = from == null ? 0 : captures.positive("--from", from, Unit.SECOND);
    double lasts = length == null ? 1e9 : captures.positive("--for", length, Unit.SECOND);
    List<Measurement> found = new ArrayList<>();
    for (Path path : files) {
      WavFile wav = captures.read(path);
      int first = (int) Math.min(wav.length(), Math.round(begin * wav.sampleRateHz()));
      int last = (int) Math.min(wav.length(), first + Math.round(lasts * wav.sampleRateHz()));
      for (int channel : channels(path, wav)) {
        if (channel == leftOut) {
          continue;
        }
        Conditions conditions = conditions(path, wav, channel);
        if (wav.clipped(channel - 1)) {
          found.add(Measurement.invalid(name, conditions, "the capture reaches full scale"));
          continue;
        }
        double[] volts = Arrays.copyOfRange(wav.channel(channel - 1), first, last);
        for (int i = 0; i < volts.length; i++) {
          volts[i] *= scale;
        }
        try {
          found.addAll(analysis.of(new Part(volts, wav.sampleRateHz(), conditions, wav, first)));
        } catch (IllegalArgumentException e) {
          found.add(Measurement.invalid(name, conditions, String.valueOf(e.getMessage())));
        }
      }
    }
    List<Measurement> told =
        captures.inVolts() ? found : found.stream().map(EachChannel::relative).toList();
    return captures.tell(
        String.valueOf(files.get(0).getFileName()), told, m -> m.name().equals(name));
  }

  private List<Integer> channels(Path path, WavFile wav) {
    if (only != null) {
      captures.requireChannel(path, wav, only);
      return List.of(only);
    }
    List<Integer> all = new ArrayList<>();
    for (int channel = 1; channel <= wav.channels(); channel++) {
      all.add(channel);
    }
    return all;
  }

  private Conditions conditions(Path path, WavFile wav, int channel) {
    Conditions conditions = Conditions.NONE;
    if (files.size() > 1) {
      conditions = conditions.with("file", path.toString());
    }
    return wav.channels() > 1 ? conditions.with("channel", String.valueOf(channel)) : conditions;
  }

  /** Without the volts of full scale, levels are relative to a full-scale sine (AES17: 0 dB). */
  private static Measurement relative(Measurement m) {
    if (m.figure() instanceof Figure.OfQuantity q) {
      double value = q.quantity().value();
      return switch (q.quantity().unit()) {
        case VOLT -> told(m, new Figure.OfQuantity(Quantity.of(Levels.db(value), Unit.DECIBEL)));
        case DECIBEL_VOLT -> told(m, new Figure.OfQuantity(Quantity.of(value, Unit.DECIBEL)));
        default -> m;
      };
    }
    if (m.figure() instanceof Figure.OfCurve c) {
      Curve curve = c.curve();
      return switch (curve.yUnit()) {
        case VOLT -> ofFullScale(m, curve);
        case DECIBEL_VOLT -> told(m, in(Unit.DECIBEL, curve));
        default -> m;
      };
    }
    return m;
  }

  /** What is seen of a wave has no rms: it stands beside the peak of full scale. */
  private static Measurement ofFullScale(Measurement m, Curve curve) {
    double[] share = curve.ys();
    for (int i = 0; i < share.length; i++) {
      share[i] /= Math.sqrt(2);
    }
    return new Measurement(
        m.name(),
        m.conditions().with("reference", "full scale"),
        new Figure.OfCurve(Curve.of(curve.xUnit(), curve.xs(), Unit.ONE, share)),
        m.note());
  }

  private static Figure in(Unit unit, Curve curve) {
    return new Figure.OfCurve(Curve.of(curve.xUnit(), curve.xs(), unit, curve.ys()));
  }

  private static Measurement told(Measurement m, Figure figure) {
    return new Measurement(
        m.name(), m.conditions().with("reference", "full-scale sine"), figure, m.note());
  }
}
