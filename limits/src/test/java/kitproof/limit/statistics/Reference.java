package kitproof.limit.statistics;

import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.NoSuchElementException;
import java.util.Objects;
import java.util.function.Predicate;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;

/** Published and independently computed values; each row names its source. */
final class Reference {
  private Reference() {}

  static List<CSVRecord> rows(String file, Predicate<CSVRecord> wanted) {
    CSVFormat format = CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).get();
    try (InputStream in = Objects.requireNonNull(Reference.class.getResourceAsStream(file), file);
        Reader reader = new InputStreamReader(in, StandardCharsets.UTF_8);
        CSVParser parser = CSVParser.parse(reader, format)) {
      List<CSVRecord> rows = parser.stream().filter(wanted).toList();
      if (rows.isEmpty()) {
        throw new NoSuchElementException(file + " has no such row");
      }
      return rows;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static double number(CSVRecord row, String column) {
    return Double.parseDouble(row.get(column));
  }

  /** The one value of an example; a name that is not there fails. */
  static double value(String file, String example, String kind, String name) {
    List<CSVRecord> rows =
        rows(
            file,
            r ->
                r.get(0).equals(example)
                    && r.get("kind").equals(kind)
                    && r.get("name").equals(name));
    if (rows.size() != 1) {
      throw new NoSuchElementException(file + " has " + rows.size() + " rows of " + name);
    }
    return number(rows.get(0), "value");
  }

  static double[] data(String file, String example) {
    return rows(file, r -> r.get(0).equals(example) && r.get("kind").equals("data")).stream()
        .mapToDouble(r -> number(r, "value"))
        .toArray();
  }
}
