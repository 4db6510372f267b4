package kitproof.document;

import java.lang.reflect.AnnotatedElement;
import java.lang.reflect.Constructor;
import java.lang.reflect.Field;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * One component of a record and what its annotations say of it.
 *
 * @param key as written in the file
 * @param type the component's type
 * @param initially what holds if it is left out, or null
 * @param optional whether it may be left out without a value to hold
 * @param units the units allowed; empty for any
 * @param low lowest good number
 * @param high highest good number
 * @param oneOrMore whether a single item may stand for a list
 * @param holds what raw nodes hold, or null if that is left open
 */
record Slot(
    String key,
    Type type,
    @Nullable String initially,
    boolean optional,
    List<Unit> units,
    double low,
    double high,
    boolean oneOrMore,
    @Nullable Class<? extends Record> holds) {

  /** A record's components in their order. */
  static List<Slot> of(Class<?> record) {
    return Arrays.stream(record.getRecordComponents()).map(Slot::of).toList();
  }

  static Slot of(Field field) {
    boolean nullable = field.getAnnotatedType().isAnnotationPresent(Nullable.class);
    return of(field, field.getName(), field.getGenericType(), nullable);
  }

  private static Slot of(RecordComponent component) {
    boolean nullable = component.getAnnotatedType().isAnnotationPresent(Nullable.class);
    return of(component, component.getName(), component.getGenericType(), nullable);
  }

  private static Slot of(AnnotatedElement notes, String name, Type type, boolean nullable) {
    Key key = notes.getAnnotation(Key.class);
    Initially initially = notes.getAnnotation(Initially.class);
    In in = notes.getAnnotation(In.class);
    Bounds bounds = notes.getAnnotation(Bounds.class);
    Holds holds = notes.getAnnotation(Holds.class);
    return new Slot(
        key == null ? kebab(name) : key.value(),
        type,
        initially == null ? null : initially.value(),
        nullable,
        in == null ? List.of() : List.of(in.value()),
        bounds == null ? Double.NEGATIVE_INFINITY : bounds.low(),
        bounds == null ? Double.POSITIVE_INFINITY : bounds.high(),
        notes.isAnnotationPresent(OneOrMore.class),
        holds == null ? null : holds.value());
  }

  /** What holds if the key is left out, as if it stood there. */
  static Node node(String initially, Location location) {
    Node node = YamlReader.readNode("@Initially", initially).value();
    // the author of the record wrote this, so only the section has a place in the user's file
    return node instanceof Node.Scalar s ? new Node.Scalar(location, s.text(), s.quoted()) : node;
  }

  /** The same in a place that goes by another key. */
  Slot under(String other) {
    return new Slot(other, type, initially, optional, units, low, high, oneOrMore, holds);
  }

  boolean holds(double number) {
    return number >= low && number <= high;
  }

  /** safeToOpen becomes safe-to-open. */
  static String kebab(String name) {
    return name.replaceAll("([a-z0-9])([A-Z])", "$1-$2").toLowerCase(Locale.ROOT);
  }

  /**
   * Makes a record.
   *
   * @throws IllegalArgumentException if its constructor refuses the values
   */
  static Object construct(Class<?> type, List<@Nullable Object> values) {
    RecordComponent[] components = type.getRecordComponents();
    Class<?>[] types =
        Arrays.stream(components).map(RecordComponent::getType).toArray(Class<?>[]::new);
    try {
      Constructor<?> constructor = type.getDeclaredConstructor(types);
      constructor.setAccessible(true);
      return constructor.newInstance(new ArrayList<>(values).toArray());
    } catch (InvocationTargetException e) {
      if (e.getCause() instanceof IllegalArgumentException refused) {
        throw refused;
      }
      throw new IllegalStateException("the constructor of " + type.getName() + " failed", e);
    } catch (ReflectiveOperationException e) {
      throw new IllegalStateException("no way to make a " + type.getName(), e);
    }
  }
}
