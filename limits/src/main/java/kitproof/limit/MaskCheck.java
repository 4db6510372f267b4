package kitproof.limit;

import java.util.ArrayList;
import java.util.List;
import kitproof.document.Located;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** What can be wrong with the corners of a mask. */
final class MaskCheck {
  private MaskCheck() {}

  static List<Problem> problems(Location row, List<LimitDocument.Corner> corners) {
    List<Problem> found = new ArrayList<>();
    if (corners.size() < 2) {
      found.add(Problem.of(row, "a mask of " + corners.size(), "two corners or more"));
    }
    List<Located<Quantity>> places = corners.stream().map(LimitDocument.Corner::at).toList();
    found.addAll(Ends.unitProblems(places));
    for (int i = 0; i < places.size(); i++) {
      found.addAll(place(places.get(i), i == 0 ? null : places.get(i - 1)));
    }
    found.addAll(
        Ends.unitProblems(
            corners.stream().flatMap(c -> Ends.given(c.low(), c.high()).stream()).toList()));
    for (LimitDocument.Corner corner : corners) {
      if (corner.low() == null && corner.high() == null) {
        found.add(
            Problem.of(
                corner.at().location(),
                "a corner that limits nothing",
                "low, high or both beside \"at\""));
      }
      found.addAll(Ends.order(corner.low(), corner.high()));
    }
    return found;
  }

  private static List<Problem> place(Located<Quantity> at, @Nullable Located<Quantity> before) {
    String display = "at: " + at.value().display();
    if (MaskJudge.isLogarithmic(at.value().unit()) && at.value().value() <= 0) {
      String what = at.value().unit() == Unit.HERTZ ? "a frequency" : "a power";
      return List.of(Problem.of(at.location(), display, what + " above zero"));
    }
    if (before == null
        || at.value().unit() != before.value().unit()
        || at.value().compareTo(before.value()) > 0) {
      return List.of();
    }
    return List.of(
        Problem.of(
            at.location(),
            display + " after " + before.value().display(),
            "corners in rising order"));
  }
}
