package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.document.Parsed;
import kitproof.journal.Durable;
import kitproof.report.Maker;
import kitproof.report.MakerFile;
import kitproof.report.Paper;
import kitproof.report.Report;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;

/** On whose paper a report is written, and on which. */
final class LetterheadOptions {
  @Option(
      names = "--maker",
      paramLabel = "FILE",
      description = "Your name, address and logo for the letterhead (YAML); none otherwise.")
  private @Nullable Path makerFile;

  @Option(
      names = "--paper",
      paramLabel = "SIZE",
      defaultValue = "A4",
      description = "Of the report: ${COMPLETION-CANDIDATES} (default: ${DEFAULT-VALUE}).")
  private Paper paper = Paper.A4;

  private @Nullable Maker maker;

  /** Reads the maker's file, if there is one, and tells what is wrong with it. */
  boolean isSound(CommandLine command) {
    if (makerFile == null) {
      return true;
    }
    Parsed<Maker> parsed = MakerFile.read(makerFile);
    if (!parsed.isSound()) {
      Printed.problems(command.getErr(), parsed.problems());
      return false;
    }
    maker = parsed.value();
    return true;
  }

  /** Who is to be named; null if nobody. */
  @Nullable Maker maker() {
    return maker;
  }

  /**
   * Writes both files of a report, whole or not at all; what is there is replaced.
   *
   * @param into the folder, made if it is not there
   * @param name of the files, without ending; safe as a name of a file
   * @return the page, then the document for paper
   */
  List<Path> write(Report report, Path into, String name) throws IOException {
    Files.createDirectories(into);
    Path html = into.resolve(name + ".html");
    Path pdf = into.resolve(name + ".pdf");
    Durable.replace(html, report.html(paper), true);
    Durable.replace(pdf, report.pdf(paper), true);
    return List.of(html, pdf);
  }
}
