package kitproof.value;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * What a result holds under: mode, tap, load, channel, power. Names to values, in the order given.
 *
 * @param values for example {mode: triode, tap: 8 ohm}; equality ignores the order
 */
public record Conditions(Map<String, String> values) {
  public static final Conditions NONE = new Conditions(Map.of());

  private static final Pattern BRACES = Pattern.compile("\\{([^{}]*)\\}");

  public Conditions {
    values = Collections.unmodifiableMap(new LinkedHashMap<>(values));
  }

  /** One name and value; chain {@link #with} for more. */
  public static Conditions of(String name, String value) {
    return NONE.with(name, value);
  }

  /** These conditions and one more, or one replaced. */
  public Conditions with(String name, String value) {
    Map<String, String> more = new LinkedHashMap<>(values);
    more.put(name, value);
    return new Conditions(more);
  }

  /** These conditions and all of the others, which win. */
  public Conditions and(Conditions others) {
    Map<String, String> more = new LinkedHashMap<>(values);
    more.putAll(others.values);
    return new Conditions(more);
  }

  /** Whether everything that {@code required} names stands here with the same value. */
  public boolean satisfy(Conditions required) {
    return values.entrySet().containsAll(required.values.entrySet());
  }

  /** Whether a name stands in both with different values, so that they never hold together. */
  public boolean contradicts(Conditions others) {
    return values.entrySet().stream()
        .anyMatch(e -> !e.getValue().equals(others.values.getOrDefault(e.getKey(), e.getValue())));
  }

  /**
   * The text with the value of each condition in the place of its name in braces: "{channel} 8 ohm
   * tap" gives "left 8 ohm tap" where the channel is left.
   *
   * @throws IllegalArgumentException with what was expected, if a name in braces is none of these
   */
  public String fill(String text) {
    return BRACES
        .matcher(text)
        .replaceAll(
            found -> {
              String value = values.get(found.group(1));
              if (value == null) {
                throw new IllegalArgumentException(
                    "in braces "
                        + (isEmpty()
                            ? "nothing, for the step has no conditions"
                            : "one of " + String.join(", ", values.keySet())));
              }
              return Matcher.quoteReplacement(value);
            });
  }

  public boolean isEmpty() {
    return values.isEmpty();
  }

  /** "mode triode, tap 8 ohm"; empty if there are none. */
  @Override
  public String toString() {
    return values.entrySet().stream()
        .map(e -> e.getKey() + " " + e.getValue())
        .collect(Collectors.joining(", "));
  }
}
