package kitproof.cli;

import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.procedure.SavedTones;
import kitproof.signal.Band;
import kitproof.signal.CapturedStairs;
import kitproof.signal.ToneAnalysis;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Distortion against power and input sensitivity from a captured staircase. */
@Command(
    name = "distortion-against-power",
    mixinStandardHelpOptions = true,
    description =
        "Finds distortion against power, the power at 1 %% and at 3 %% (clipping) and the input"
            + " sensitivity in a capture of one tone that rises in stairs of equal length. When the"
            + " stairs begin is found from them; the drive is given, or recorded on another channel.",
    footer = {
      "",
      "Examples:",
      "  kitproof analyze distortion-against-power stairs.wav --stair \"200 ms\" --drive \"20 mV..1"
          + " V\" --stairs 18 --full-scale \"40 V\" --load \"8.02 ohm\" --rated \"12 W\"",
      "  kitproof analyze distortion-against-power stairs.wav --stair \"200 ms\" --reference 2"
          + " --reference-full-scale \"2 V\" --full-scale \"40 V\" --load \"8.02 ohm\""
    })
final class AnalyzePowerCommand implements Callable<Integer> {
  private static final double SETTLE = 0.4;
  private static final double LONGEST_SETTLE = 0.8;

  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();
  @Mixin private ReferenceOptions reference = new ReferenceOptions();

  @Option(
      names = "--stair",
      required = true,
      paramLabel = "TIME",
      description = "How long each stair lasts.")
  private String stair = "";

  @Option(
      names = "--settle",
      paramLabel = "TIME",
      description = "What is left out at the beginning of each stair (default: 40 % of it).")
  private @Nullable String settle;

  @Option(
      names = "--drive",
      paramLabel = "RANGE",
      description =
          "The drive of the lowest and of the highest stair, rms, the others evenly between them in"
              + " decibels; with --stairs.")
  private @Nullable String drive;

  @Option(
      names = "--stairs",
      paramLabel = "N",
      description = "How many stairs there are; a capture with another number is refused.")
  private @Nullable Integer stairs;

  @Option(
      names = "--rated",
      paramLabel = "WATTS",
      description = "The power whose input voltage is the input sensitivity.")
  private @Nullable String rated;

  @Option(
      names = "--tone",
      defaultValue = "1 kHz",
      paramLabel = "FREQUENCY",
      description = "The tone, within a tenth (default: ${DEFAULT-VALUE}).")
  private String tone = "";

  @Mixin private DistortionOptions distortion = new DistortionOptions(5);

  @Override
  public Integer call() {
    CaptureOptions captures = each.captures;
    Quantity hertz = captures.hertz("--tone", tone);
    QuantityRange range = distortion.band(captures);
    Band limits = new Band(range.low().value(), range.high().value());
    int harmonics = distortion.harmonics(captures);
    double lasts = captures.positive("--stair", stair, Unit.SECOND);
    double rests =
        settle == null ? SETTLE * lasts : captures.positive("--settle", settle, Unit.SECOND);
    if (rests > LONGEST_SETTLE * lasts) {
      throw captures.wrong(
          "--settle: found \"" + settle + "\"; expected at most 80 % of a stair", null);
    }
    OptionalDouble ohms = load.ohms(captures);
    if (ohms.isEmpty()) {
      throw captures.wrong("Powers need --full-scale \"… V\" and --load \"… ohm\"", null);
    }
    double[] drives = drives();
    if (drives.length > 0 && reference.channel() > 0) {
      throw captures.wrong("--drive says nothing with --reference", null);
    }
    if (rated != null && drives.length == 0 && reference.channel() == 0) {
      throw captures.wrong("--rated needs --drive or --reference beside it", null);
    }
    double referenceScale = reference.peakVolts(captures, captures.fullScalePeakVolts());
    Quantity ratedPower =
        rated == null
            ? null
            : Quantity.of(captures.positive("--rated", rated, Unit.WATT), Unit.WATT);
    return each.analyse(
        "thd+n against power",
        reference.channel(),
        part -> {
          requireHeld(range, part);
          List<CapturedStairs.Stair> found =
              CapturedStairs.of(
                  part.volts(), part.rate(), hertz.value(), lasts, rests, limits, harmonics);
          if (stairs != null && found.size() != stairs) {
            throw new IllegalArgumentException(
                found.size() + " stairs of the tone in the capture, not " + stairs);
          }
          double[] input =
              reference.channel() > 0
                  ? recorded(part, found, hertz.value(), referenceScale)
                  : drives;
          return SavedTones.againstPower(
              found,
              input,
              ohms.getAsDouble(),
              ratedPower,
              hertz,
              range,
              harmonics,
              part.conditions());
        });
  }

  static void requireHeld(QuantityRange band, EachChannel.Part part) {
    if (band.high().value() > part.rate() / 2) {
      throw new IllegalArgumentException(
          "the band reaches beyond half of the capture's sample rate");
    }
  }

  /** The drive of each stair; none if it was not given. */
  private double[] drives() {
    CaptureOptions captures = each.captures;
    if (drive == null) {
      return new double[0];
    }
    if (stairs == null) {
      throw captures.wrong("--drive needs --stairs N beside it", null);
    }
    int count = captures.within("--stairs", stairs, 2, 10_000);
    QuantityRange range;
    try {
      range = QuantityRange.parse(drive, Unit.VOLT);
    } catch (IllegalArgumentException e) {
      throw captures.wrong("--drive: found \"" + drive + "\"; expected " + e.getMessage(), e);
    }
    double low = range.low().value();
    if (!(low > 0)) {
      throw captures.wrong("--drive: found \"" + drive + "\"; expected volts above zero", null);
    }
    double[] volts = new double[count];
    double ratio = range.high().value() / low;
    Arrays.setAll(volts, i -> low * Math.pow(ratio, i / (count - 1.0)));
    return volts;
  }

  private double[] recorded(
      EachChannel.Part part, List<CapturedStairs.Stair> found, double hertz, double scale) {
    if (part.file().channels() < reference.channel()) {
      throw new IllegalArgumentException("no channel " + reference.channel() + " in the capture");
    }
    double[] input = part.other(reference.channel());
    Band all = new Band(0, part.rate() / 2);
    return found.stream()
        .map(one -> Arrays.copyOfRange(input, one.from(), one.to()))
        .mapToDouble(
            block -> scale * ToneAnalysis.fitted(block, part.rate(), hertz, all, 3).levelVolts())
        .toArray();
  }
}
