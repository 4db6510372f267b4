package kitproof.document;

import java.util.Comparator;
import java.util.List;
import java.util.NoSuchElementException;
import java.util.function.Function;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/**
 * What became of a piece of a user's file: a value, or everything that is wrong with it.
 *
 * <p>There is never half a value: as soon as there is one problem there is no value.
 */
public final class Parsed<T> {
  private static final Comparator<Problem> IN_ORDER_OF_THE_FILE =
      Comparator.comparing((Problem p) -> p.location().file())
          .thenComparingInt(p -> p.location().line())
          .thenComparingInt(p -> p.location().column());

  private final @Nullable T value;
  private final List<Problem> problems;

  private Parsed(@Nullable T value, List<Problem> problems) {
    this.value = value;
    this.problems = problems;
  }

  /** A sound value. */
  public static <T> Parsed<T> of(T value) {
    return new Parsed<>(value, List.of());
  }

  /**
   * No value.
   *
   * @param problems at least one; kept in the order of the file
   */
  public static <T> Parsed<T> wrong(List<Problem> problems) {
    if (problems.isEmpty()) {
      throw new IllegalArgumentException("something wrong without a problem");
    }
    return new Parsed<>(null, problems.stream().sorted(IN_ORDER_OF_THE_FILE).toList());
  }

  public boolean isSound() {
    return value != null;
  }

  /**
   * The value.
   *
   * @throws NoSuchElementException with every problem, if there is none
   */
  public T value() {
    if (value == null) {
      throw new NoSuchElementException(toString());
    }
    return value;
  }

  /** Everything that is wrong, in the order of the file; empty if there is a value. */
  public List<Problem> problems() {
    return problems;
  }

  public <R> Parsed<R> map(Function<? super T, ? extends R> change) {
    return value == null ? new Parsed<>(null, problems) : of(change.apply(value));
  }

  public <R> Parsed<R> flatMap(Function<? super T, Parsed<R>> next) {
    return value == null ? new Parsed<>(null, problems) : next.apply(value);
  }

  /** This value, unless the check finds something wrong with it. */
  public Parsed<T> checked(Function<? super T, List<Problem>> check) {
    if (value == null) {
      return this;
    }
    List<Problem> found = check.apply(value);
    return found.isEmpty() ? this : wrong(found);
  }

  /** The value, or one problem a line. */
  @Override
  public String toString() {
    return value == null
        ? String.join("\n", problems.stream().map(Problem::toString).toList())
        : value.toString();
  }
}
