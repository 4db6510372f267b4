package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.Callable;
import kitproof.procedure.SavedTones;
import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.signal.ResponseFigures;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import kitproof.signal.ToneStretches;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import kitproof.wav.WavFile;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Distortion against frequency from captures of several tones. */
@Command(
    name = "distortion-against-frequency",
    mixinStandardHelpOptions = true,
    description =
        "Finds distortion against frequency in one capture of tones one after the other, or in"
            + " several captures. Which tones they are, and when each begins, is found from them;"
            + " the output's level should be the same for all.",
    footer = {
      "",
      "Examples:",
      "  kitproof analyze distortion-against-frequency stepped.wav --tone-length \"400 ms\"",
      "  kitproof analyze distortion-against-frequency 100Hz.wav 1kHz.wav 10kHz.wav"
    })
final class AnalyzeFrequencyCommand implements Callable<Integer> {
  /** Nearer than this part two tones are one. */
  private static final double SAME_TONE = 0.005;

  @Mixin private CaptureOptions captures = new CaptureOptions();

  @Parameters(
      arity = "1..*",
      paramLabel = "FILE",
      description = "WAV (16, 24, 32 bit, float) or FLAC files.")
  private List<Path> files = List.of();

  @Option(
      names = "--channel",
      defaultValue = "1",
      paramLabel = "N",
      description = "The channel of every file, from 1 (default: ${DEFAULT-VALUE}).")
  private int channel;

  @Option(
      names = "--tone-length",
      defaultValue = "400 ms",
      paramLabel = "TIME",
      description =
          "How long the shortest tone lasts; the lowest should have twenty cycles in this (default:"
              + " ${DEFAULT-VALUE}).")
  private String length = "";

  @Mixin private DistortionOptions distortion = new DistortionOptions(5);

  @Option(
      names = "--constant-drive",
      description = "All tones were played equally loud: tell the frequency response, too.")
  private boolean constantDrive;

  @Option(
      names = "--at",
      defaultValue = "1 kHz",
      paramLabel = "FREQUENCY",
      description = "Where that is 0 dB (default: ${DEFAULT-VALUE}).")
  private String at = "";

  @Override
  public Integer call() {
    QuantityRange range = distortion.band(captures);
    int harmonics = distortion.harmonics(captures);
    double reference = captures.positive("--at", at, Unit.HERTZ);
    double shortest = captures.positive("--tone-length", length, Unit.SECOND);
    List<Measurement> found;
    try {
      List<ToneFigures> tones = new ArrayList<>();
      for (Path file : files) {
        tones.addAll(tones(file, shortest, range, harmonics));
      }
      List<ToneFigures> rising = rising(tones);
      found =
          new ArrayList<>(SavedTones.againstFrequency(rising, range, harmonics, Conditions.NONE));
      if (constantDrive) {
        found.add(response(rising, reference));
      }
    } catch (IllegalArgumentException e) {
      found =
          List.of(
              Measurement.invalid(
                  "thd+n against frequency", Conditions.NONE, String.valueOf(e.getMessage())));
    }
    return captures.tell(
        String.valueOf(files.get(0).getFileName()),
        found,
        m -> m.name().equals("thd+n against frequency"));
  }

  private List<ToneFigures> tones(Path file, double shortest, QuantityRange range, int harmonics) {
    WavFile wav = captures.read(file);
    double[] volts = captures.volts(file, wav, channel);
    double rate = wav.sampleRateHz();
    if (wav.clipped(channel - 1)) {
      throw new IllegalArgumentException(file + " reaches full scale");
    }
    if (range.high().value() > rate / 2) {
      throw new IllegalArgumentException("the band reaches beyond half the sample rate of " + file);
    }
    Band limits = new Band(range.low().value(), range.high().value());
    List<ToneFigures> tones = new ArrayList<>();
    for (ToneStretches.Stretch stretch : ToneStretches.of(volts, rate, shortest)) {
      double[] block = Arrays.copyOfRange(volts, stretch.from(), stretch.to());
      tones.add(ToneAnalysis.fitted(block, rate, stretch.roughHz(), limits, harmonics));
    }
    if (tones.isEmpty()) {
      throw new IllegalArgumentException("no steady tone of " + length + " in " + file);
    }
    return tones;
  }

  private static Measurement response(List<ToneFigures> tones, double referenceHz) {
    double[] hz = tones.stream().mapToDouble(ToneFigures::frequencyHz).toArray();
    double[] db = tones.stream().mapToDouble(tone -> Levels.db(tone.levelVolts())).toArray();
    Curve level = Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, db);
    return Measurement.of(
        "frequency response", Conditions.NONE, ResponseFigures.relativeTo(level, referenceHz));
  }

  /** By rising frequency; of several of one frequency the first. */
  private static List<ToneFigures> rising(List<ToneFigures> tones) {
    List<ToneFigures> sorted =
        tones.stream().sorted(Comparator.comparingDouble(ToneFigures::frequencyHz)).toList();
    List<ToneFigures> rising = new ArrayList<>();
    for (ToneFigures tone : sorted) {
      double last = rising.isEmpty() ? 0 : rising.get(rising.size() - 1).frequencyHz();
      if (tone.frequencyHz() > last * (1 + SAME_TONE)) {
        rising.add(tone);
      }
    }
    return rising;
  }
}
