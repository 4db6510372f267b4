package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.document.Parsed;
import kitproof.journal.Durable;
import kitproof.journal.SafeName;
import kitproof.report.GaugeSheet;
import kitproof.report.GaugeStudyReport;
import kitproof.report.Maker;
import kitproof.report.MakerFile;
import kitproof.report.Paper;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;

/** A gauge study's report: whether it is wanted, where, and on whose paper. */
final class GaugeReportOption {
  @Option(
      names = "--report",
      paramLabel = "DIR",
      description = "Write the report, gauge-NAME.html and gauge-NAME.pdf, into this folder.")
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
  List<Path> write(GaugeSheet study) throws IOException {
    Path into = folder == null ? Path.of("") : folder;
    Files.createDirectories(into);
    GaugeStudyReport report = new GaugeStudyReport(study, maker);
    String name = "gauge-" + SafeName.ofFile(study.study());
    Path html = into.resolve(name + ".html");
    Path pdf = into.resolve(name + ".pdf");
    Durable.replace(html, report.html(paper), true);
    Durable.replace(pdf, report.pdf(paper), true);
    return List.of(html, pdf);
  }
}
