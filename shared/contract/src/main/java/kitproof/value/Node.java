package kitproof.value;

import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;

/** A piece of a user's file with its place: text, a list, or names with pieces. */
public sealed interface Node {
  /** Where the piece begins. */
  Location location();

  /** A phrase that tells a user what stands there. */
  String describe();

  /**
   * Text as written; numbers and booleans are read by whoever knows what is wanted.
   *
   * @param text without quotes
   * @param quoted whether it stood in quotes
   */
  record Scalar(Location location, String text, boolean quoted) implements Node {
    @Override
    public String describe() {
      return text.isEmpty() && !quoted ? "nothing" : "\"" + text + "\"";
    }
  }

  /** A list. */
  record Listing(Location location, List<Node> items) implements Node {
    public Listing {
      items = List.copyOf(items);
    }

    @Override
    public String describe() {
      return "a list of " + items.size();
    }
  }

  /** Names with pieces, in the order of the file; no name stands twice. */
  record Mapping(Location location, List<Entry> entries) implements Node {
    public Mapping {
      entries = List.copyOf(entries);
    }

    /** The piece with this name. */
    public Optional<Node> get(String key) {
      return entry(key).map(Entry::value);
    }

    /** Name and piece. */
    public Optional<Entry> entry(String key) {
      return entries.stream().filter(e -> e.key().equals(key)).findFirst();
    }

    @Override
    public String describe() {
      return entries.isEmpty()
          ? "an empty section"
          : "a section with " + entries.stream().map(Entry::key).collect(Collectors.joining(", "));
    }
  }

  /** One line of a mapping. */
  record Entry(Location location, String key, Node value) {}
}
