package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import kitproof.driver.FullScale;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** The analysis of a tone on saved captures, made here or elsewhere. */
@Command(
    name = "analyze",
    mixinStandardHelpOptions = true,
    subcommands = {
      AnalyzeSweepCommand.class,
      AnalyzeOutputImpedanceCommand.class,
      AnalyzeInputImpedanceCommand.class,
      AnalyzeCrosstalkCommand.class
    },
    description =
        "Measures a tone in saved captures: level, power, THD, THD+N, harmonics. The tone's exact"
            + " frequency is found, so the capture may come from another clock. Other kinds of"
            + " captures have commands of their own below.",
    footer = {
      "",
      "Examples:",
      "  kitproof analyze capture.wav --tone \"1 kHz\"",
      "  kitproof analyze capture.wav --full-scale \"40 V\" --load \"8 ohm\" --json"
    })
final class AnalyzeCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(arity = "0..*", paramLabel = "WAV", description = "WAV files: 16, 24, 32 bit, float.")
  private List<Path> files = List.of();

  @Option(
      names = "--full-scale",
      paramLabel = "VOLTS",
      description =
          "What full scale of the capture stands for: \"40 V\" is the rms voltage of a full-scale"
              + " sine, \"56.6 V peak\" the voltage of its peak. Without it levels are relative to"
              + " a full-scale sine.")
  private @Nullable String fullScale;

  @Option(
      names = "--tone",
      paramLabel = "FREQUENCY",
      description = "The tone, within a tenth. Without it the strongest line is taken.")
  private @Nullable String tone;

  @Option(
      names = "--band",
      paramLabel = "RANGE",
      defaultValue = "20 Hz..20 kHz",
      description = "The measuring band of THD+N (default: ${DEFAULT-VALUE}).")
  private String band = "";

  @Option(
      names = "--load",
      paramLabel = "OHMS",
      description = "The load as measured, for the power; needs --full-scale.")
  private @Nullable String load;

  @Option(
      names = "--harmonics",
      paramLabel = "N",
      defaultValue = "10",
      description = "The highest harmonic (default: ${DEFAULT-VALUE}).")
  private int harmonics;

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  @Override
  public Integer call() {
    if (files.isEmpty()) {
      throw new ParameterException(
          spec.commandLine(), "Say what to analyze: a WAV file with a tone, or a command below.");
    }
    CaptureFigures figures = wanted();
    List<Measurement> measurements = new ArrayList<>();
    boolean allRead = true;
    for (Path file : files) {
      try {
        measurements.addAll(figures.of(file, files.size() > 1));
      } catch (IOException e) {
        allRead = false;
        spec.commandLine().getErr().println(file + ": " + plain(e, file));
        spec.commandLine().getErr().flush();
      } catch (OutOfMemoryError e) { // of the large arrays of this one file, which are gone now
        allRead = false;
        spec.commandLine().getErr().println(file + ": " + tooLong());
        spec.commandLine().getErr().flush();
      }
    }
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Printed.json(out, Map.of("results", measurements.stream().map(Analysed::tree).toList()));
    } else {
      measurements.forEach(m -> out.println(line(m)));
      out.flush();
    }
    boolean allGood =
        measurements.stream()
            .noneMatch(m -> m.name().equals("level") && m.figure() instanceof Figure.Invalid);
    return allRead && allGood ? ExitCodes.GOOD : ExitCodes.BAD_INPUT;
  }

  private CaptureFigures wanted() {
    if (load != null && fullScale == null) {
      throw new ParameterException(
          spec.commandLine(), "--load gives a power only with --full-scale \"… V\".");
    }
    if (harmonics < 2 || harmonics > 50) {
      throw new ParameterException(
          spec.commandLine(), "--harmonics: found " + harmonics + "; expected 2 to 50");
    }
    return new CaptureFigures(
        fullScale == null ? 0 : parsed("--full-scale", fullScale, FullScale::peakVolts),
        tone == null ? 0 : parsed("--tone", tone, t -> positive(t, Unit.HERTZ)),
        parsed("--band", band, AnalyzeCommand::frequencies),
        load == null ? 0 : parsed("--load", load, t -> positive(t, Unit.OHM)),
        harmonics);
  }

  private static double positive(String text, Unit unit) {
    double value = Quantity.parse(text, unit).value();
    if (value <= 0) {
      throw new IllegalArgumentException(Quantity.expectation(unit) + ", above zero");
    }
    return value;
  }

  private static QuantityRange frequencies(String text) {
    QuantityRange range = QuantityRange.parse(text, Unit.HERTZ);
    if (range.low().value() < 0 || range.low().equals(range.high())) {
      throw new IllegalArgumentException(
          "a range in Hz from 0 Hz up, with room between its ends, such as \"20 Hz..20 kHz\"");
    }
    return range;
  }

  private interface Parser<T> {
    T parse(String text);
  }

  private <T> T parsed(String option, String text, Parser<T> parser) {
    try {
      return parser.parse(text);
    } catch (IllegalArgumentException e) {
      throw new ParameterException(
          spec.commandLine(), option + ": found \"" + text + "\"; expected " + e.getMessage(), e);
    }
  }

  private static String plain(IOException e, Path file) {
    String message = String.valueOf(e.getMessage());
    return e instanceof java.nio.file.NoSuchFileException
        ? "there is no such file"
        : message.replace(file + ": ", "");
  }

  private static String tooLong() {
    return "too long for the "
        + Runtime.getRuntime().maxMemory() / (1 << 20)
        + " MiB that the program may use; cut the capture, or give more, such as"
        + " KITPROOF_JAVA_OPTIONS=-Xmx4g";
  }

  private static String line(Measurement m) {
    String figure =
        m.figure() instanceof Figure.OfQuantity q
            ? q.quantity().display(6)
            : "invalid: " + ((Figure.Invalid) m.figure()).reason();
    return String.format(
        Locale.ROOT, "%-22s %-16s %s", m.name(), figure, m.conditions().toString());
  }
}
