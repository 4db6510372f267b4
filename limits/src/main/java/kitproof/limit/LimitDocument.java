package kitproof.limit;

import java.util.ArrayList;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Key;
import kitproof.document.Located;
import kitproof.document.Meaning;
import kitproof.document.SelfChecked;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** A limit file as it is written. */
@Meaning("What results of one revision of a product must be")
record LimitDocument(
    @Key("limits") @Meaning("A name for this set of limits") String name,
    @Meaning("The product, as plans name it") String product,
    @Meaning("The product's revision") String revision,
    @Meaning("How a value is compared with its limit (JCGM 106:2012)") DecisionRule rule,
    @Meaning(
            "With guarded acceptance: the least probability with which an accepted value conforms;"
                + " 95 % if left out (ISO 14253-1:2017)")
        @In(Unit.PERCENT)
        @Bounds(low = 50, high = 99.999)
        @Nullable Located<Quantity> conformance,
    @Meaning(
            "Of limits that a program has proposed: who has read them and stands for them; no run"
                + " is judged by limits of nobody")
        @Nullable Located<String> signedOffBy,
    @Meaning("The limits; of several that apply to a result the one with most conditions is taken")
        List<Located<Row>> judge)
    implements SelfChecked {

  /** One limit: low and/or high, or a mask. */
  record Row(
      @Meaning("The name of the result, such as thd+n") String result,
      @Meaning("The conditions under which the limit holds, such as mode: triode; any if left out")
          @Nullable Conditions when,
      @Meaning("The lowest good value") @Nullable Located<Quantity> low,
      @Meaning("The highest good value") @Nullable Located<Quantity> high,
      @Meaning("The corners of a mask for a curve, joined by straight lines")
          @Nullable List<Corner> mask)
      implements SelfChecked {

    @Override
    public List<Problem> problems(Location section) {
      if (mask == null) {
        return low == null && high == null
            ? List.of(
                Problem.of(
                    section,
                    "a limit for \"" + result + "\" that limits nothing",
                    "low, high or mask"))
            : Ends.problems(low, high);
      }
      List<Problem> found = new ArrayList<>(MaskCheck.problems(section, mask));
      for (Located<Quantity> end : Ends.given(low, high)) {
        found.add(
            Problem.of(end.location(), "a single limit beside a mask", "one of them, not both"));
      }
      return found;
    }

    Limit limit() {
      return mask == null
          ? new Limit.Scalar(Ends.value(low), Ends.value(high))
          : new Limit.Mask(mask.stream().map(Corner::point).toList());
    }

    Conditions conditions() {
      return when == null ? Conditions.NONE : when;
    }
  }

  /** One corner of a mask. */
  record Corner(
      @In({Unit.HERTZ, Unit.SECOND, Unit.WATT}) @Meaning("The frequency, time or power")
          Located<Quantity> at,
      @Meaning("The lowest good value there") @Nullable Located<Quantity> low,
      @Meaning("The highest good value there") @Nullable Located<Quantity> high) {

    Limit.Point point() {
      return new Limit.Point(at.value(), Ends.value(low), Ends.value(high));
    }
  }

  Acceptance acceptance() {
    return new Acceptance(
        rule,
        conformance == null ? Acceptance.USUAL_CONFORMANCE : conformance.value().value() / 100);
  }

  List<LimitEntry> entries() {
    return judge.stream()
        .map(
            row ->
                new LimitEntry(
                    row.location(),
                    row.value().result(),
                    row.value().conditions(),
                    row.value().limit()))
        .toList();
  }

  @Override
  public List<Problem> problems(Location section) {
    List<Problem> problems = new ArrayList<>(Ambiguity.problems(entries()));
    if (conformance != null && rule != DecisionRule.GUARDED_ACCEPTANCE) {
      problems.add(
          Problem.of(
              conformance.location(),
              "conformance beside rule: " + rule,
              "rule: " + DecisionRule.GUARDED_ACCEPTANCE));
    }
    return problems;
  }
}
