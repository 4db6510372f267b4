package kitproof.plan;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import kitproof.document.Located;
import kitproof.driver.Route;
import kitproof.interlock.Interlock;
import kitproof.value.Conditions;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** Makes interlocks of what a plan says of them, its steps written out. */
final class PlanInterlocks {
  private final List<PlanStep> steps;
  private final List<Problem> problems;

  /** Problems are added to the list given. */
  PlanInterlocks(List<PlanStep> steps, List<Problem> problems) {
    this.steps = steps;
    this.problems = problems;
  }

  List<Interlock> of(@Nullable List<Located<InterlockDocument>> documents) {
    List<Interlock> interlocks = new ArrayList<>();
    Set<String> names = new HashSet<>();
    for (Located<InterlockDocument> document :
        documents == null ? List.<Located<InterlockDocument>>of() : documents) {
      if (!names.add(document.value().interlock())) {
        problems.add(
            Problem.of(
                document.location(),
                "interlock \"" + document.value().interlock() + "\" a second time",
                "a name of its own"));
      }
      interlocks.add(interlock(document));
    }
    return interlocks;
  }

  private Interlock interlock(Located<InterlockDocument> located) {
    InterlockDocument document = located.value();
    Set<Route.Purpose> mains = EnumSet.noneOf(Route.Purpose.class);
    for (Mains state :
        document.mains() == null ? List.of(Mains.LIMITED, Mains.DIRECT) : document.mains()) {
      mains.add(state.purpose());
    }
    int first = document.fromStep() == null ? 0 : place(document.fromStep(), true);
    int last = document.toStep() == null ? Integer.MAX_VALUE : place(document.toStep(), false);
    if (last < first && document.toStep() != null) {
      problems.add(
          Problem.of(
              document.toStep().location(),
              "to-step: " + document.toStep().value() + ", which is over before it is armed",
              "a step that comes after from-step"));
    }
    Duration every = document.every();
    return new Interlock(
        located.location(),
        document.interlock(),
        document.meter(),
        document.function(),
        value(document.low()),
        value(document.high()),
        document.within(),
        every == null ? document.within().dividedBy(4) : every,
        document.after(),
        mains,
        document.when() == null ? Conditions.NONE : document.when(),
        first,
        last,
        document.beyond() == null || document.noLongerThan() == null
            ? null
            : new Interlock.Budget(document.beyond().value(), document.noLongerThan()));
  }

  private static @Nullable Quantity value(@Nullable Located<Quantity> located) {
    return located == null ? null : located.value();
  }

  /** Where the first or the last step of this name stands among all. */
  private int place(Located<String> name, boolean first) {
    int place = -1;
    for (int i = 0; i < steps.size(); i++) {
      if (steps.get(i).name().equals(name.value()) && (place < 0 || !first)) {
        place = i;
      }
    }
    if (place < 0) {
      problems.add(
          Problem.unknownName(
              name.location(),
              "step",
              name.value(),
              steps.stream().map(PlanStep::name).distinct().toList()));
      return first ? 0 : Integer.MAX_VALUE;
    }
    return place;
  }
}
