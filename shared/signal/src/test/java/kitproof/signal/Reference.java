package kitproof.signal;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/** Values from outside the project: CSV files whose last columns name the source of each row. */
final class Reference {
  private Reference() {}

  /** Rows as maps by the names of the first row. */
  static List<Map<String, String>> rows(String file) {
    List<Map<String, String>> rows = new ArrayList<>();
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(Reference.class.getResourceAsStream(file), file),
                StandardCharsets.UTF_8))) {
      List<String> names = split(reader.readLine());
      for (String line = reader.readLine(); line != null; line = reader.readLine()) {
        List<String> cells = split(line);
        if (cells.size() != names.size()) {
          throw new IllegalStateException(file + ": " + line);
        }
        Map<String, String> row = new LinkedHashMap<>();
        for (int i = 0; i < names.size(); i++) {
          row.put(names.get(i), cells.get(i));
        }
        rows.add(row);
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return rows;
  }

  /** The column {@code value} of the one row that has these cells, given as name, cell, name … */
  static double value(String file, String... cells) {
    List<Map<String, String>> found =
        rows(file).stream()
            .filter(
                row -> {
                  boolean same = true;
                  for (int i = 0; i < cells.length; i += 2) {
                    same &= cells[i + 1].equals(row.get(cells[i]));
                  }
                  return same;
                })
            .toList();
    if (found.size() != 1) {
      throw new IllegalStateException(
          found.size() + " rows in " + file + " for " + String.join(", ", cells));
    }
    return Double.parseDouble(found.get(0).get("value"));
  }

  private static List<String> split(String line) {
    List<String> cells = new ArrayList<>();
    StringBuilder cell = new StringBuilder();
    boolean quoted = false;
    for (char c : line.toCharArray()) {
      if (c == '"') {
        quoted = !quoted;
      } else if (c == ',' && !quoted) {
        cells.add(cell.toString());
        cell.setLength(0);
      } else {
        cell.append(c);
      }
    }
    cells.add(cell.toString());
    return cells;
  }
}
