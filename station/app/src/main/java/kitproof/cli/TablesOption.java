package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.batch.Batch;
import kitproof.batch.CsvExport;
import kitproof.batch.JsonExport;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** A batch's tables for other programs: whether they are wanted, as what, and where. */
final class TablesOption {
  @Option(
      names = "--csv",
      paramLabel = "DIR",
      description = "Write units.csv, results.csv and columns.csv, which explains them.")
  private @Nullable Path csv;

  @Option(
      names = "--json-rows",
      paramLabel = "DIR",
      description =
          "The same tables as JSON: units.json, results.json and columns.json, each a list of rows.")
  private @Nullable Path rows;

  boolean isWanted() {
    return csv != null || rows != null;
  }

  /** Writes them and returns where. */
  List<Path> write(Batch batch) throws IOException {
    List<Path> files = new ArrayList<>();
    if (csv != null) {
      files.addAll(CsvExport.write(batch, csv));
    }
    if (rows != null) {
      files.addAll(JsonExport.write(batch, rows));
    }
    return files;
  }
}
