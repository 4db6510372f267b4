package kitproof.limit;

import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import kitproof.document.Located;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** The low and high end of a limit as written, either of which may be missing. */
final class Ends {
  private Ends() {}

  static List<Located<Quantity>> given(
      @Nullable Located<Quantity> low, @Nullable Located<Quantity> high) {
    return Stream.of(low, high).filter(Objects::nonNull).toList();
  }

  static @Nullable Quantity value(@Nullable Located<Quantity> end) {
    return end == null ? null : end.value();
  }

  /** What is wrong between the two. */
  static List<Problem> problems(@Nullable Located<Quantity> low, @Nullable Located<Quantity> high) {
    List<Problem> units = unitProblems(given(low, high));
    return units.isEmpty() ? order(low, high) : units;
  }

  /** A high below its low, where the units let that be told. */
  static List<Problem> order(@Nullable Located<Quantity> low, @Nullable Located<Quantity> high) {
    if (low == null
        || high == null
        || low.value().unit() != high.value().unit()
        || low.value().compareTo(high.value()) <= 0) {
      return List.of();
    }
    return List.of(
        Problem.of(
            high.location(),
            "high: " + high.value().display() + " below low: " + low.value().display(),
            "a high that is not below low"));
  }

  /** Everything that is not in the unit of the first. */
  static List<Problem> unitProblems(List<Located<Quantity>> values) {
    return values.stream()
        .filter(value -> value.value().unit() != values.get(0).value().unit())
        .map(value -> otherUnit(value, values.get(0)))
        .toList();
  }

  private static Problem otherUnit(Located<Quantity> found, Located<Quantity> first) {
    return Problem.of(
        found.location(),
        "\"" + found.value().display() + "\"",
        Quantity.expectation(first.value().unit())
            + ", the unit of line "
            + first.location().line());
  }
}
