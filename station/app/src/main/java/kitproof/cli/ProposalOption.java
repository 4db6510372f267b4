package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.batch.Batch;
import kitproof.batch.LimitProposal;
import kitproof.journal.Durable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Limits from the good units of a batch: whether they are wanted, how wide, and where. */
final class ProposalOption {
  @Option(
      names = "--propose-limits",
      paramLabel = "FILE",
      description = "Write a limit file from the good units, for a person to sign; never over one.")
  private @Nullable Path file;

  @Option(
      names = "--coverage",
      paramLabel = "PART",
      defaultValue = "0.99",
      description = "Part of all units that a proposed limit holds (default: ${DEFAULT-VALUE}).")
  private double coverage;

  @Option(
      names = "--confidence",
      paramLabel = "PART",
      defaultValue = "0.95",
      description = "Confidence that it does (default: ${DEFAULT-VALUE}).")
  private double confidence;

  boolean isWanted() {
    return file != null;
  }

  /**
   * Writes them and says so.
   *
   * @throws ParameterException if there is such a file already, or the batch allows no limits
   */
  void write(CommandLine command, Batch batch) throws IOException {
    Path into = file == null ? Path.of("") : file;
    requirePart(command, "--coverage", coverage);
    requirePart(command, "--confidence", confidence);
    if (Files.exists(into)) {
      throw already(command, into);
    }
    String text;
    try {
      text =
          BatchPages.uncalibrated(batch.goodUnits()).map(told -> "# " + told + "\n").orElse("")
              + LimitProposal.text(batch, coverage, confidence);
    } catch (IllegalArgumentException e) {
      throw new ParameterException(command, "--propose-limits: found " + e.getMessage(), e);
    }
    if (!Durable.create(into, text)) {
      throw already(command, into);
    }
    command
        .getOut()
        .println(into + ": a proposal, to be read and signed off by a person before use");
    command.getOut().flush();
  }

  private static ParameterException already(CommandLine command, Path file) {
    return new ParameterException(
        command, "--propose-limits: found \"" + file + "\" already; expected a new file");
  }

  private static void requirePart(CommandLine command, String option, double part) {
    if (!(part > 0.5 && part < 1)) {
      throw new ParameterException(
          command, option + ": found " + part + "; expected a number between 0.5 and 1");
    }
  }
}
