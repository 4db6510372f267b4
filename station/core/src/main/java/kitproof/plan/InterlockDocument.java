package kitproof.plan;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.Initially;
import kitproof.document.Located;
import kitproof.document.Meaning;
import kitproof.document.OneOrMore;
import kitproof.document.SelfChecked;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** An interlock as it is written in a plan. */
public record InterlockDocument(
    @Meaning("the interlock's name") String interlock,
    @Meaning("the role of the meter") String meter,
    @Meaning("the meter's function") String function,
    @Meaning("it trips below this") @Nullable Located<Quantity> low,
    @Meaning("it trips above this") @Nullable Located<Quantity> high,
    @Meaning("what can be stood for a while only, such as a valve's highest dissipation")
        @Nullable Located<Quantity> beyond,
    @Meaning("how long in a row it may be above \"beyond\"") @Bounds(low = 0.001)
        @Nullable Duration noLongerThan,
    @Meaning("from a value outside to the command that takes the mains away") @Bounds(low = 0.02)
        Duration within,
    @Meaning("from one reading to the next; a quarter of \"within\" if not given")
        @Bounds(low = 0.001)
        @Nullable Duration every,
    @Meaning("how long after arming the band is not judged, for what rushes in") @Initially("0 s")
        Duration after,
    @Meaning("armed while the mains is so: limited, direct; both if not given") @OneOrMore
        @Nullable List<Mains> mains,
    @Meaning("armed in steps under these conditions; in all if not given")
        @Nullable Conditions when,
    @Meaning("armed from this step on; from the first if not given")
        @Nullable Located<String> fromStep,
    @Meaning("armed to the end of this step; of the last if not given")
        @Nullable Located<String> toStep)
    implements SelfChecked {

  @Override
  public List<Problem> problems(Location section) {
    List<Problem> problems = new ArrayList<>();
    if (low == null && high == null && beyond == null) {
      problems.add(
          Problem.of(
              section, "interlock \"" + interlock + "\" that never trips", "low, high or both"));
    }
    if ((beyond == null) != (noLongerThan == null)) {
      problems.add(
          Problem.of(
              section,
              "interlock \""
                  + interlock
                  + "\" with "
                  + (beyond == null ? "no-longer-than alone" : "beyond alone"),
              "beyond and no-longer-than, or neither"));
    }
    Located<Quantity> end = high == null ? low : high;
    if (beyond != null && end != null) {
      if (beyond.value().unit() != end.value().unit()) {
        problems.add(
            Problem.of(
                beyond.location(),
                "beyond: " + beyond.value().display() + " beside " + end.value().display(),
                "all in one unit"));
      } else if (high != null && beyond.value().compareTo(high.value()) >= 0) {
        problems.add(
            Problem.of(
                beyond.location(),
                "beyond: "
                    + beyond.value().display()
                    + " not below high: "
                    + high.value().display(),
                "a value that is reached before it trips at once"));
      }
    }
    if (low != null && high != null) {
      if (low.value().unit() != high.value().unit()) {
        problems.add(
            Problem.of(
                high.location(),
                "high: " + high.value().display() + " beside low: " + low.value().display(),
                "both in one unit"));
      } else if (low.value().compareTo(high.value()) >= 0) {
        problems.add(
            Problem.of(
                high.location(),
                "high: " + high.value().display() + " not above low: " + low.value().display(),
                "a band with room in it"));
      }
    }
    if (mains != null && mains.contains(Mains.OFF)) {
      problems.add(
          Problem.of(section, "an interlock armed with the mains off", "limited, direct or both"));
    }
    return problems;
  }
}
