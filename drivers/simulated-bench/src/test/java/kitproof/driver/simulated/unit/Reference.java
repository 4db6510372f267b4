package kitproof.driver.simulated.unit;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Reads the reference tables; each row of them names its source. */
final class Reference {
  private Reference() {}

  /** Quantities by case, in the order of the file. */
  static Map<String, Map<String, Double>> read(String name) throws IOException {
    Map<String, Map<String, Double>> cases = new LinkedHashMap<>();
    try (InputStream in = Reference.class.getResourceAsStream(name)) {
      List<String> lines =
          new String(in.readAllBytes(), StandardCharsets.UTF_8).lines().skip(1).toList();
      for (String line : lines) {
        String[] cells = line.split(",", 4);
        cases
            .computeIfAbsent(cells[0], c -> new HashMap<>())
            .put(cells[1], Double.valueOf(cells[2]));
      }
    }
    return cases;
  }

  /** "C" of "V0=450 R=100000 C=0.00022". */
  static double given(String description, String symbol) {
    for (String word : description.split(" ")) {
      if (word.startsWith(symbol + "=")) {
        return Double.parseDouble(word.substring(symbol.length() + 1));
      }
    }
    throw new IllegalArgumentException(symbol + " in " + description);
  }
}
