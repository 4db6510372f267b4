package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.document.Parsed;
import kitproof.journal.Durable;
import kitproof.journal.SafeName;
import kitproof.report.BatchReport;
import kitproof.report.BatchSheet;
import kitproof.report.Maker;
import kitproof.report.MakerFile;
import kitproof.report.Paper;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;

/** The batch's report: whether it is wanted, where, and on whose paper. */
final class BatchReportOption {
  @Option(
      names = "--report",
      paramLabel = "DIR",
      description = "Write the report of the batch, NAME.html and NAME.pdf, into this folder.")
  private @Nullable Path folder;

  @Option(
      names = "--maker",
      paramLabel = "FILE",
      description = "Your name, address and logo for the report's letterhead (YAML).")
  private @Nullable Path makerFile;

  @Option(
      names = "--paper",
      paramLabel = "SIZE",
      defaultValue = "A4",
      description = "Of the report: ${COMPLETION-CANDIDATES} (default: ${DEFAULT-VALUE}).")
  private Paper paper = Paper.A4;

  private @Nullable Maker maker;

  boolean isWanted() {
    return folder != null;
  }

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

  /** Writes both files and returns where. */
  List<Path> write(BatchSheet batch) throws IOException {
    Path into = folder == null ? Path.of("") : folder;
    Files.createDirectories(into);
    BatchReport report = new BatchReport(batch, maker);
    String name = SafeName.ofFile(batch.batch());
    Path html = into.resolve(name + ".html");
    Path pdf = into.resolve(name + ".pdf");
    Durable.replace(html, report.html(paper), true);
    Durable.replace(pdf, report.pdf(paper), true);
    return List.of(html, pdf);
  }
}
