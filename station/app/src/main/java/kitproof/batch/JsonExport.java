package kitproof.batch;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.journal.Durable;
import org.jspecify.annotations.Nullable;

/**
 * A batch as rows of JSON for other programs: {@code units.json}, {@code results.json}, and {@code
 * columns.json}, which says what each name means. Each is a list of objects, a line each, with the
 * columns of {@link CsvExport}: numbers as numbers, exact, nothing as null, all else as text.
 */
public final class JsonExport {
  private static final JsonFactory JSON = new JsonFactory();

  private JsonExport() {}

  /**
   * Writes the three files, over older ones of these names.
   *
   * @param folder made if it is not there
   * @return the files
   * @throws IOException if one cannot be written; an older one stands then
   */
  public static List<Path> write(Batch batch, Path folder) throws IOException {
    Files.createDirectories(folder);
    List<List<String>> meanings = new ArrayList<>();
    CsvExport.UNITS.forEach(c -> meanings.add(List.of("units.json", c.name(), c.meaning())));
    CsvExport.RESULTS.forEach(c -> meanings.add(List.of("results.json", c.name(), c.meaning())));
    List<CsvExport.Column<List<String>>> columns =
        List.of(
            new CsvExport.Column<>("file", "", row -> row.get(0)),
            new CsvExport.Column<>("column", "", row -> row.get(1)),
            new CsvExport.Column<>("meaning", "", row -> row.get(2)));
    return List.of(
        table(folder.resolve("units.json"), CsvExport.UNITS, batch.units()),
        table(folder.resolve("results.json"), CsvExport.RESULTS, CsvExport.rows(batch)),
        table(folder.resolve("columns.json"), columns, meanings));
  }

  private static <T> Path table(Path file, List<CsvExport.Column<T>> columns, List<T> rows)
      throws IOException {
    Durable.replace(
        file,
        out -> {
          JsonGenerator json = JSON.createGenerator(out);
          json.writeStartArray();
          for (T row : rows) {
            json.writeRaw('\n');
            json.writeStartObject();
            for (CsvExport.Column<T> column : columns) {
              json.writeFieldName(column.name());
              value(json, column.of().apply(row));
            }
            json.writeEndObject();
          }
          json.writeRaw('\n');
          json.writeEndArray();
          json.writeRaw('\n');
          json.flush();
        },
        true);
    return file;
  }

  private static void value(JsonGenerator json, @Nullable Object value) throws IOException {
    if (value == null) {
      json.writeNull();
    } else if (value instanceof Integer whole) {
      json.writeNumber(whole);
    } else if (value instanceof Double number) {
      json.writeNumber(number);
    } else {
      json.writeString(value.toString());
    }
  }
}
