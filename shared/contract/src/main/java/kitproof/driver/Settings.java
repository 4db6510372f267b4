package kitproof.driver;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Typed reading of one section of a user's file.
 *
 * <p>A value that is missing or wrong becomes a {@link Problem} and the reader gets a harmless
 * stand-in, so that one pass finds everything that is wrong. Keys that nobody read are problems
 * too: call {@link #problems()} after reading all there is.
 */
public final class Settings {
  private final Node.Mapping section;
  private final Set<String> read = new LinkedHashSet<>();
  private final List<Problem> found = new ArrayList<>();
  private final List<Settings> parts = new ArrayList<>();

  public Settings(Node.Mapping section) {
    this.section = section;
  }

  /** The section itself, for places in messages. */
  public Node.Mapping section() {
    return section;
  }

  public boolean has(String key) {
    return section.get(key).isPresent();
  }

  /** Text that must be given. */
  public String text(String key) {
    return scalar(key, "text", null, Function.identity(), "");
  }

  public String text(String key, String initial) {
    return scalar(key, "text", initial, Function.identity(), initial);
  }

  /** Text that a parser understands; its exception's message says what was expected. */
  public <T> T parsed(String key, String expected, T standIn, Function<String, T> parser) {
    return scalar(key, expected, null, parser, standIn);
  }

  public <T> T parsedOr(String key, String expected, T initial, Function<String, T> parser) {
    return scalar(key, expected, initial, parser, initial);
  }

  /** A quantity of this unit that must be given. */
  public Quantity quantity(String key, Unit unit) {
    return parsed(
        key, Quantity.expectation(unit), Quantity.of(1, unit), t -> Quantity.parse(t, unit));
  }

  public Quantity quantity(String key, Unit unit, double initial) {
    return parsedOr(
        key, Quantity.expectation(unit), Quantity.of(initial, unit), t -> Quantity.parse(t, unit));
  }

  /** A time of zero or more, such as "500 ms". */
  public Duration duration(String key, Duration initial) {
    return parsedOr(key, "a time, such as \"500 ms\"", initial, Settings::parseDuration);
  }

  /** A whole number within bounds. */
  public int integer(String key, int low, int high, int initial) {
    String expected = "a whole number from " + low + " to " + high;
    return parsedOr(key, expected, initial, t -> parseInteger(t, low, high, expected));
  }

  public boolean flag(String key, boolean initial) {
    return parsedOr(key, "true or false", initial, Settings::parseFlag);
  }

  /** One of an enum's values, written as its {@code toString}. */
  public <E extends Enum<E>> E choice(String key, Class<E> type, @Nullable E initial) {
    List<String> words = Arrays.stream(type.getEnumConstants()).map(Object::toString).toList();
    E standIn = initial == null ? type.getEnumConstants()[0] : initial;
    Node node = node(key, "one of " + String.join(", ", words), initial != null);
    if (node == null) {
      return standIn;
    }
    if (node instanceof Node.Scalar scalar) {
      int index = words.indexOf(scalar.text());
      if (index >= 0) {
        return type.getEnumConstants()[index];
      }
      found.add(Problem.unknownName(node.location(), key, scalar.text(), words));
    } else {
      found.add(Problem.of(node.location(), node.describe(), "one of " + String.join(", ", words)));
    }
    return standIn;
  }

  /** A list of texts; empty if it is not given. A single text counts as a list of one. */
  public List<String> texts(String key) {
    Node node = node(key, "a list", true);
    if (node == null) {
      return List.of();
    }
    if (node instanceof Node.Scalar scalar) {
      return List.of(scalar.text());
    }
    List<String> texts = new ArrayList<>();
    if (node instanceof Node.Listing listing) {
      for (Node item : listing.items()) {
        if (item instanceof Node.Scalar scalar) {
          texts.add(scalar.text());
        } else {
          found.add(Problem.of(item.location(), item.describe(), "text"));
        }
      }
    } else {
      found.add(Problem.of(node.location(), node.describe(), "a list of texts"));
    }
    return texts;
  }

  /** Names with texts, in the order of the file; empty if not given. */
  public Map<String, String> textsByName(String key) {
    Map<String, String> texts = new LinkedHashMap<>();
    for (Node.Entry entry : mapping(key).entries()) {
      if (entry.value() instanceof Node.Scalar scalar) {
        texts.put(entry.key(), scalar.text());
      } else {
        found.add(Problem.of(entry.value().location(), entry.value().describe(), "text"));
      }
    }
    return texts;
  }

  /** A section of its own; empty if not given. Its problems are counted with this one's. */
  public Settings part(String key) {
    Settings part = new Settings(mapping(key));
    parts.add(part);
    return part;
  }

  /** Sections by name, in the order of the file; empty if not given. */
  public Map<String, Settings> parts(String key) {
    Map<String, Settings> named = new LinkedHashMap<>();
    for (Node.Entry entry : mapping(key).entries()) {
      if (entry.value() instanceof Node.Mapping mapping) {
        Settings part = new Settings(mapping);
        parts.add(part);
        named.put(entry.key(), part);
      } else {
        found.add(Problem.of(entry.value().location(), entry.value().describe(), "a section"));
      }
    }
    return named;
  }

  /** Says that something read well is wrong all the same. */
  public void reject(String key, String expected) {
    Node node = section.get(key).orElse(section);
    found.add(Problem.of(node.location(), key + ": " + node.describe(), expected));
  }

  /** The keys that were asked for so far, in that order. */
  public Set<String> keysRead() {
    return Collections.unmodifiableSet(new LinkedHashSet<>(read));
  }

  /** Everything wrong so far, unread keys included, in the order of the file. */
  public List<Problem> problems() {
    List<Problem> all = new ArrayList<>(found);
    for (Node.Entry entry : section.entries()) {
      if (!read.contains(entry.key())) {
        all.add(Problem.unknownName(entry.location(), "setting", entry.key(), read));
      }
    }
    parts.forEach(part -> all.addAll(part.problems()));
    all.sort(
        Comparator.comparingInt((Problem p) -> p.location().line())
            .thenComparingInt(p -> p.location().column()));
    return all;
  }

  /**
   * For use when opening: the settings have been checked before.
   *
   * @throws InstrumentException OTHER with every problem, if there is any
   */
  public void requireSound() throws InstrumentException {
    List<Problem> all = problems();
    if (!all.isEmpty()) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          String.join("\n", all.stream().map(Problem::toString).toList()));
    }
  }

  /** Reads a time of zero or more. */
  public static Duration parseDuration(String text) {
    double seconds = Quantity.parse(text, Unit.SECOND).value();
    if (seconds < 0 || seconds > 1e9) {
      throw new IllegalArgumentException("a time that is not negative");
    }
    return Duration.ofNanos(Math.round(seconds * 1e9));
  }

  private static int parseInteger(String text, int low, int high, String expected) {
    int value;
    try {
      value = Integer.parseInt(text.strip());
    } catch (NumberFormatException e) {
      throw new IllegalArgumentException(expected, e);
    }
    if (value < low || value > high) {
      throw new IllegalArgumentException(expected);
    }
    return value;
  }

  private static boolean parseFlag(String text) {
    return switch (text) {
      case "true" -> true;
      case "false" -> false;
      default -> throw new IllegalArgumentException("true or false");
    };
  }

  private <T> T scalar(
      String key,
      String expected,
      @Nullable T initial,
      Function<String, ? extends T> parser,
      T standIn) {
    Node node = node(key, expected, initial != null);
    if (node == null) {
      return initial == null ? standIn : initial;
    }
    if (!(node instanceof Node.Scalar scalar)) {
      found.add(Problem.of(node.location(), key + ": " + node.describe(), expected));
      return standIn;
    }
    try {
      return parser.apply(scalar.text());
    } catch (IllegalArgumentException e) {
      String wanted = e.getMessage() == null ? expected : e.getMessage();
      found.add(Problem.of(node.location(), key + ": " + node.describe(), wanted));
      return standIn;
    }
  }

  private @Nullable Node node(String key, String expected, boolean optional) {
    read.add(key);
    Node node = section.get(key).orElse(null);
    if (node == null && !optional) {
      found.add(Problem.of(section.location(), "no \"" + key + "\" in this section", expected));
    }
    return node;
  }

  private Node.Mapping mapping(String key) {
    Node node = node(key, "a section", true);
    if (node instanceof Node.Mapping mapping) {
      return mapping;
    }
    if (node != null && !(node instanceof Node.Scalar s && s.text().isEmpty())) {
      found.add(Problem.of(node.location(), key + ": " + node.describe(), "a section"));
    }
    return new Node.Mapping(section.location(), List.of());
  }
}
