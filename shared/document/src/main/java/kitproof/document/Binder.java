package kitproof.document;

import java.lang.reflect.ParameterizedType;
import java.lang.reflect.Type;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import kitproof.value.Conditions;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import org.jspecify.annotations.Nullable;

/**
 * Turns nodes into records, and finds everything that is wrong on the way, not the first only.
 *
 * <p>A record's components are the section's keys, in kebab case ({@code safeToOpen} is {@code
 * safe-to-open}). A component may be text, a number, true or false, {@code Duration}, {@link
 * Quantity} or {@link QuantityRange} with {@link In}, an enum (by its {@code toString} words), a
 * list, a map from names, another record, {@link Conditions}, a raw {@link Node}, {@link Located}
 * around any of these, or {@link Variant}. It must be given unless it is {@code @Nullable} or has
 * {@link Initially}. A record {@link InShort} may be given as one text. What a record's constructor
 * refuses with an {@link IllegalArgumentException} becomes a problem of its section, the message
 * saying what is expected; what needs a closer place is found by a {@link SelfChecked} record.
 */
public final class Binder {
  private final Variants variants;

  public Binder() {
    this(Variants.NONE);
  }

  public Binder(Variants variants) {
    this.variants = variants;
  }

  /** Reads a section whose keys are the record's components. */
  public <R extends Record> Parsed<R> bind(Node.Mapping section, Class<R> type) {
    Pass pass = new Pass();
    Object value = pass.section(section, type);
    return result(pass, value, type);
  }

  /** Reads one flat section of common keys and those of the word's own record. */
  public <C extends Record, S> Parsed<Variant<C, S>> bindParts(
      Node.Mapping section, Class<C> common, Class<S> special) {
    Pass pass = new Pass();
    Variant<?, ?> both = pass.variant(section, common, special);
    return both == null
        ? Parsed.wrong(pass.problems)
        : Parsed.of(
            new Variant<>(both.word(), common.cast(both.common()), special.cast(both.special())));
  }

  private static <T> Parsed<T> result(Pass pass, @Nullable Object value, Class<T> type) {
    return value == null ? Parsed.wrong(pass.problems) : Parsed.of(type.cast(value));
  }

  /** One reading; a null result always means that a problem was added. */
  private final class Pass {
    final List<Problem> problems = new ArrayList<>();

    @Nullable Object section(Node.Mapping section, Class<?> type) {
      int before = problems.size();
      List<Slot> slots = Slot.of(type);
      List<@Nullable Object> values = components(section, slots);
      refuseUnknown(section, keys(slots));
      return problems.size() > before ? null : construct(section, type, values);
    }

    @Nullable Variant<?, ?> variant(Node.Mapping section, Class<?> common, Class<?> special) {
      int before = problems.size();
      Variants.Choice choice = variants.of(special);
      List<Slot> commonSlots = Slot.of(common);
      List<@Nullable Object> commonValues = components(section, commonSlots);
      Located<String> word = word(section, choice);
      if (word == null) { // which other keys are right nobody can tell
        return null;
      }
      Class<?> type = Objects.requireNonNull(choice.types().get(word.value()));
      List<Slot> slots = Slot.of(type);
      List<@Nullable Object> values = components(section, slots);
      Set<String> known = new LinkedHashSet<>(List.of(choice.key()));
      known.addAll(keys(commonSlots));
      known.addAll(keys(slots));
      refuseUnknown(section, known);
      if (problems.size() > before) {
        return null;
      }
      Object all = construct(section, common, commonValues);
      Object own = construct(section, type, values);
      return all == null || own == null ? null : new Variant<>(word, all, own);
    }

    private @Nullable Located<String> word(Node.Mapping section, Variants.Choice choice) {
      List<String> words = List.copyOf(choice.types().keySet());
      String expected = "one of " + String.join(", ", words);
      Node given = section.get(choice.key()).orElse(null);
      if (given == null) {
        String found = "no \"" + choice.key() + "\" in this section";
        problems.add(Problem.of(section.location(), found, expected));
      } else if (!(given instanceof Node.Scalar scalar) || isNothing(given)) {
        wrong(given, choice.key(), expected);
      } else if (!choice.types().containsKey(scalar.text())) {
        problems.add(Problem.unknownName(given.location(), choice.key(), scalar.text(), words));
      } else {
        return new Located<>(scalar.location(), scalar.text());
      }
      return null;
    }

    private List<@Nullable Object> components(Node.Mapping section, List<Slot> slots) {
      List<@Nullable Object> values = new ArrayList<>();
      for (Slot slot : slots) {
        values.add(component(section, slot));
      }
      return values;
    }

    private @Nullable Object component(Node.Mapping section, Slot slot) {
      Node given = section.get(slot.key()).orElse(null);
      if (given != null) {
        return read(given, slot, slot.type());
      }
      if (slot.initially() != null) {
        return read(Slot.node(slot.initially(), section.location()), slot, slot.type());
      }
      if (!slot.optional()) {
        problems.add(
            Problem.of(
                section.location(),
                "no \"" + slot.key() + "\" in this section",
                Texts.expected(slot, slot.type())));
      }
      return null;
    }

    private void refuseUnknown(Node.Mapping section, Set<String> known) {
      for (Node.Entry entry : section.entries()) {
        if (!known.contains(entry.key())) {
          problems.add(Problem.unknownName(entry.location(), "key", entry.key(), known));
        }
      }
    }

    private @Nullable Object construct(
        Node.Mapping section, Class<?> type, List<@Nullable Object> values) {
      try {
        Object made = Slot.construct(type, values);
        if (made instanceof SelfChecked checked) {
          List<Problem> found = checked.problems(section.location());
          problems.addAll(found);
          return found.isEmpty() ? made : null;
        }
        return made;
      } catch (IllegalArgumentException e) {
        problems.add(
            Problem.of(section.location(), section.describe(), String.valueOf(e.getMessage())));
        return null;
      }
    }

    private @Nullable Object read(Node node, Slot slot, Type type) {
      if (type instanceof ParameterizedType generic) {
        return readGeneric(node, slot, generic);
      }
      Class<?> plain = (Class<?>) type;
      if (plain.isInstance(node)) { // Node itself or one of its kinds
        return node;
      }
      if (plain == Node.Mapping.class && isNothing(node)) {
        return new Node.Mapping(node.location(), List.of());
      }
      if (plain == Conditions.class) {
        Map<String, String> texts = texts(node, slot);
        return texts == null ? null : new Conditions(texts);
      }
      if (Texts.reads(plain)) {
        return text(node, slot, plain);
      }
      if (plain.isRecord() && node instanceof Node.Mapping section) {
        return section(section, plain);
      }
      InShort inShort = plain.getAnnotation(InShort.class);
      if (inShort != null && node instanceof Node.Scalar && !isNothing(node)) {
        return inShort(node, slot, plain, inShort.value());
      }
      return wrong(node, slot.key(), Texts.expected(slot, type));
    }

    private @Nullable Object inShort(Node text, Slot slot, Class<?> type, String key) {
      int before = problems.size();
      Node.Mapping rest = new Node.Mapping(text.location(), List.of());
      List<@Nullable Object> values = new ArrayList<>();
      for (Slot own : Slot.of(type)) {
        values.add(
            own.key().equals(key)
                ? read(text, own.under(slot.key()), own.type())
                : component(rest, own));
      }
      return problems.size() > before ? null : construct(rest, type, values);
    }

    private @Nullable Object readGeneric(Node node, Slot slot, ParameterizedType type) {
      Type[] of = type.getActualTypeArguments();
      if (type.getRawType() == Located.class) {
        Object value = read(node, slot, of[0]);
        return value == null ? null : new Located<>(node.location(), value);
      }
      if (type.getRawType() == List.class) {
        return list(node, slot, of[0]);
      }
      if (type.getRawType() == Map.class && of[0] == String.class) {
        return node instanceof Node.Mapping section
            ? map(section, slot, of[1])
            : wrong(node, slot.key(), Texts.expected(slot, type));
      }
      if (type.getRawType() == Variant.class) {
        return node instanceof Node.Mapping section
            ? variant(section, (Class<?>) of[0], (Class<?>) of[1])
            : wrong(node, slot.key(), Texts.expected(slot, type));
      }
      throw new IllegalArgumentException("a file cannot hold " + type);
    }

    private @Nullable List<Object> list(Node node, Slot slot, Type item) {
      List<Node> nodes;
      if (node instanceof Node.Listing listing) {
        nodes = listing.items();
      } else if (slot.oneOrMore() && !isNothing(node)) {
        nodes = List.of(node);
      } else {
        wrong(node, slot.key(), "a list");
        return null;
      }
      if (slot.oneOrMore() && nodes.isEmpty()) {
        wrong(node, slot.key(), "at least one item");
        return null;
      }
      List<Object> items = new ArrayList<>();
      for (Node each : nodes) {
        Object value = read(each, slot, item);
        if (value != null) {
          items.add(value);
        }
      }
      return items.size() == nodes.size() ? List.copyOf(items) : null;
    }

    private @Nullable Map<String, Object> map(Node.Mapping section, Slot slot, Type type) {
      Map<String, Object> values = new LinkedHashMap<>();
      for (Node.Entry entry : section.entries()) {
        Object value = read(entry.value(), slot, type);
        if (value != null) {
          values.put(entry.key(), value);
        }
      }
      return values.size() == section.entries().size() ? Collections.unmodifiableMap(values) : null;
    }

    private @Nullable Map<String, String> texts(Node node, Slot slot) {
      if (!(node instanceof Node.Mapping section)) {
        wrong(node, slot.key(), Texts.expected(slot, Conditions.class));
        return null;
      }
      Map<String, String> texts = new LinkedHashMap<>();
      for (Node.Entry entry : section.entries()) {
        Object text = text(entry.value(), slot, String.class);
        if (text != null) {
          texts.put(entry.key(), (String) text);
        }
      }
      return texts.size() == section.entries().size() ? texts : null;
    }

    private @Nullable Object text(Node node, Slot slot, Class<?> type) {
      if (!(node instanceof Node.Scalar scalar) || isNothing(node)) {
        return wrong(node, slot.key(), Texts.expected(slot, type));
      }
      if (type.isEnum()) {
        List<String> words = Texts.words(type);
        int index = words.indexOf(scalar.text());
        if (index < 0) {
          problems.add(Problem.unknownName(node.location(), slot.key(), scalar.text(), words));
          return null;
        }
        return type.getEnumConstants()[index];
      }
      try {
        return Texts.parse(scalar.text(), slot, type);
      } catch (IllegalArgumentException e) {
        return wrong(node, slot.key(), String.valueOf(e.getMessage()));
      }
    }

    private @Nullable Object wrong(Node node, String key, String expected) {
      problems.add(Problem.of(node.location(), key + ": " + node.describe(), expected));
      return null;
    }

    private static Set<String> keys(List<Slot> slots) {
      Set<String> keys = new LinkedHashSet<>();
      slots.forEach(slot -> keys.add(slot.key()));
      return keys;
    }

    private static boolean isNothing(Node node) {
      return node instanceof Node.Scalar scalar && scalar.text().isEmpty() && !scalar.quoted();
    }
  }
}
