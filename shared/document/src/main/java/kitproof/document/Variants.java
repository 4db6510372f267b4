package kitproof.document;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * Which record holds a {@link Variant}'s own keys, by the word that stands under one key.
 *
 * <p>Whoever reads a file supplies this, so that the file's own types need not know them all.
 */
public final class Variants {
  /** None. */
  public static final Variants NONE = new Variants(Map.of());

  /**
   * The words for one interface.
   *
   * @param key the key whose value decides
   * @param types a record type for each word
   */
  record Choice(String key, Map<String, Class<?>> types) {}

  private final Map<Class<?>, Choice> choices;

  private Variants(Map<Class<?>, Choice> choices) {
    this.choices = choices;
  }

  /**
   * These variants and those of one more interface.
   *
   * @param special the type that stands in {@code Variant<…, special>}
   * @param key the key whose value decides
   * @param types a record type for each word
   */
  public <S> Variants with(
      Class<S> special, String key, Map<String, ? extends Class<? extends S>> types) {
    Map<Class<?>, Choice> more = new LinkedHashMap<>(choices);
    more.put(special, new Choice(key, Collections.unmodifiableMap(new LinkedHashMap<>(types))));
    return new Variants(more);
  }

  Choice of(Class<?> special) {
    Choice choice = choices.get(special);
    if (choice == null) {
      throw new IllegalArgumentException("no variants are known for " + special.getName());
    }
    return choice;
  }
}
