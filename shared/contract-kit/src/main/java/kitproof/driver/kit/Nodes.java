package kitproof.driver.kit;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import kitproof.driver.Settings;
import kitproof.value.Location;
import kitproof.value.Node;

/**
 * Sections of a user's file from plain maps.
 *
 * <p>Each entry stands on a line of its own, counted from 1 in the map's order: use {@code
 * LinkedHashMap} or {@link #map} where places matter. A map without an order of its own ({@code
 * Map.of} has another in each virtual machine) is taken in the order of its names, so that a test
 * sees the same section in every run.
 */
public final class Nodes {
  /** The file that all places name. */
  public static final String FILE = "bench.yaml";

  private Nodes() {}

  /** Settings from names to texts, numbers, booleans, lists and maps. */
  public static Settings settings(Map<String, ?> values) {
    return new Settings(mapping(values));
  }

  /** A section from names to texts, numbers, booleans, lists and maps. */
  public static Node.Mapping mapping(Map<String, ?> values) {
    return (Node.Mapping) new Builder().node(values, 0);
  }

  /** Names and values by turns, kept in this order. */
  public static Map<String, Object> map(Object... namesAndValues) {
    Map<String, Object> map = new LinkedHashMap<>();
    for (int i = 0; i < namesAndValues.length; i += 2) {
      map.put((String) namesAndValues[i], namesAndValues[i + 1]);
    }
    return map;
  }

  private static final class Builder {
    private int line;

    Node node(Object value, int depth) {
      Location here = new Location(FILE, Math.max(1, line), 1 + 2 * depth);
      if (value instanceof Map<?, ?> map) {
        List<Node.Entry> entries = new ArrayList<>();
        ordered(map)
            .forEach(
                (key, item) -> {
                  line++;
                  Location at = new Location(FILE, line, 1 + 2 * depth);
                  entries.add(new Node.Entry(at, String.valueOf(key), node(item, depth + 1)));
                });
        return new Node.Mapping(here, entries);
      }
      if (value instanceof List<?> list) {
        List<Node> items = new ArrayList<>();
        for (Object item : list) {
          line++;
          items.add(node(item, depth + 1));
        }
        return new Node.Listing(here, items);
      }
      return new Node.Scalar(here, String.valueOf(value), value instanceof String);
    }

    private static Map<?, ?> ordered(Map<?, ?> map) {
      return map instanceof LinkedHashMap || map instanceof SortedMap ? map : new TreeMap<>(map);
    }
  }
}
