package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Function;
import kitproof.report.Maker;
import kitproof.report.Report;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** A report of many runs, of a batch or a gauge study: whether it is wanted, and where. */
final class ReportOption {
  @Option(
      names = "--report",
      paramLabel = "DIR",
      description = "Write the report into this folder, as HTML and PDF named after NAME.")
  private @Nullable Path folder;

  @Mixin private LetterheadOptions letterhead = new LetterheadOptions();

  boolean isWanted() {
    return folder != null;
  }

  /** Reads the maker's file, if there is one, and tells what is wrong with it. */
  boolean isSound(CommandLine command) {
    return letterhead.isSound(command);
  }

  /**
   * Writes both files and returns where.
   *
   * @param name of the files, without ending; safe as a name of a file
   * @param of makes the report for the maker, who may be null
   */
  List<Path> write(String name, Function<@Nullable Maker, Report> of) throws IOException {
    Path into = folder == null ? Path.of("") : folder;
    return letterhead.write(of.apply(letterhead.maker()), into, name);
  }
}
