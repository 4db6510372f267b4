package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import kitproof.batch.Batch;
import kitproof.batch.DriftText;
import kitproof.batch.RecordFolder;
import kitproof.batch.RunSource;
import kitproof.batch.Series;
import kitproof.batch.StationDrift;
import kitproof.document.Parsed;
import kitproof.document.YamlReader;
import kitproof.journal.RunRecord;
import kitproof.report.BatchSheet;
import kitproof.store.Index;
import kitproof.store.IndexException;
import kitproof.store.IndexPlace;
import kitproof.store.IndexedBatch;
import kitproof.value.Node;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** The check standard by which drift of the station is told from drift of the units. */
final class CheckStandardOption {
  @Option(
      names = "--check-standard",
      paramLabel = "SERIAL",
      description =
          "What the station measures again and again to know itself; its drift is told from that of"
              + " the units, and its runs count as none. Can be repeated.")
  private List<String> named = List.of();

  @Option(
      names = "--bench",
      paramLabel = "FILE",
      description = "Take the check standard from this bench file's selfcheck.")
  private @Nullable Path bench;

  private final Set<String> standards = new LinkedHashSet<>();
  private List<StationDrift> drifts = List.of();

  /** Reads the bench file, if one is named; says what is wrong with it. */
  boolean isSound(CommandLine command) {
    standards.addAll(named);
    if (bench == null) {
      return true;
    }
    Parsed<Node.Mapping> read = YamlReader.read(bench);
    if (!read.isSound()) {
      Printed.problems(command.getErr(), read.problems());
      return false;
    }
    String declared =
        read.value()
            .get("selfcheck")
            .filter(Node.Mapping.class::isInstance)
            .flatMap(node -> ((Node.Mapping) node).get("check-standard"))
            .filter(Node.Scalar.class::isInstance)
            .map(node -> ((Node.Scalar) node).text())
            .orElseThrow(
                () ->
                    new ParameterException(
                        command,
                        "--bench: found no check standard in \""
                            + bench
                            + "\"; expected selfcheck: {check-standard: SERIAL} in it"));
    standards.add(declared);
    return true;
  }

  /** Whether there is one. */
  boolean isNamed() {
    return !standards.isEmpty();
  }

  /** The batch without runs of the check standard, which is no unit of it. */
  Batch without(Batch batch) {
    return standards.isEmpty()
        ? batch
        : new Batch(
            batch.name(),
            batch.units().stream().filter(u -> !standards.contains(u.serial())).toList());
  }

  /** The same of a batch in an index. */
  IndexedBatch without(IndexedBatch batch) {
    return standards.isEmpty() ? batch : batch.without(standards);
  }

  /** Reads the runs of the check standard and tells the drifts apart. */
  void read(CommandLine command, Path records, List<Series> series) throws IOException {
    if (!standards.isEmpty()) {
      RunSource.Found found = new RecordFolder(records).ofUnits(standards);
      RecordsOption.tell(command, found);
      if (found.runs().isEmpty()) {
        throw none(command, records);
      }
      drifts = StationDrift.of(series, found.runs());
    }
  }

  /** The same of an index, where runs of all stations that share it are. */
  void read(CommandLine command, Index index, IndexPlace place, List<Series> series)
      throws IndexException {
    if (!standards.isEmpty()) {
      List<RunRecord> runs = index.checks(standards);
      if (runs.isEmpty()) {
        throw none(command, place);
      }
      drifts = StationDrift.of(series, runs);
    }
  }

  private ParameterException none(CommandLine command, Object where) {
    return new ParameterException(
        command,
        "--check-standard: found no run of "
            + String.join(", ", standards)
            + " in "
            + where
            + "; expected the serial number of a check standard that was measured");
  }

  /** For a person; empty if no check standard is named. */
  List<String> lines() {
    return DriftText.lines(drifts, standards);
  }

  /** For a program. */
  List<?> tree() {
    return DriftText.tree(drifts);
  }

  /** The report with what was told apart before all else that is worth a look. */
  BatchSheet with(BatchSheet sheet) {
    List<BatchSheet.Remark> told =
        DriftText.told(drifts).stream()
            .map(d -> new BatchSheet.Remark(d.series().title(), List.of(d.words())))
            .toList();
    List<BatchSheet.Remark> summed =
        Stream.of(String.join(" ", DriftText.lines(drifts, standards).stream().limit(3).toList()))
            .map(String::strip)
            .filter(words -> !words.isEmpty())
            .map(words -> new BatchSheet.Remark("Check standard", List.of(words)))
            .toList();
    return told.isEmpty() ? sheet.worth(summed) : sheet.worth(told);
  }
}
