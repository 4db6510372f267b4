package kitproof.guide;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Collectors;
import kitproof.interlock.Interlock;
import kitproof.plan.Bench;
import kitproof.plan.Mains;
import kitproof.plan.Plan;
import kitproof.report.Markup;
import kitproof.run.BoardLooks;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** What is watched beside the steps of a plan: by the plan, and on every bench. */
final class InterlockPages {
  private static final String BOARDS =
      "every relay board is asked as long as mains is on: one that does not answer, or whose relays"
          + " are not as they were left, ends the run likewise.";

  private final Markup page;

  InterlockPages(Markup page) {
    this.page = page;
  }

  void write(Plan plan, Bench bench) {
    List<Interlock> all = new ArrayList<>(plan.interlocks());
    all.addAll(BoardLooks.of(bench));
    page.begin("section").element("h2", "Interlocks of plan " + plan.name());
    page.element(
        "p",
        (plan.interlocks().isEmpty()
                ? "The plan names none of its own. "
                : "The program reads these meters beside every step. A value outside its band takes"
                    + " the mains away within the time given. A meter that says nothing for nine"
                    + " tenths of it takes the mains away too. The meters must be connected"
                    + " whenever a unit is. ")
            + "Whatever a plan says, "
            + BOARDS);
    table(all, lock -> steps(plan, lock));
    page.end();
  }

  /** Where no plan is given: what every bench has. */
  void boards(Bench bench) {
    List<Interlock> all = BoardLooks.of(bench);
    if (all.isEmpty()) {
      return;
    }
    page.begin("section").element("h2", "Interlocks of every plan");
    page.element("p", "Beside those of the plan: " + BOARDS);
    table(all, lock -> "all");
    page.end();
  }

  private void table(List<Interlock> all, Function<Interlock, String> steps) {
    Table.begin(
        page,
        "interlocks",
        List.of(
            "Interlock",
            "Reads",
            "Low",
            "High",
            "Beyond, no longer than",
            "Within",
            "Every",
            "Armed after",
            "Armed",
            "Steps"));
    page.begin("tbody");
    for (Interlock lock : all) {
      Table.row(
          page,
          lock.name(),
          List.of(
              lock.meter() + ", " + lock.function(),
              end(lock.low()),
              end(lock.high()),
              budget(lock.budget()),
              Table.time(lock.within()),
              Table.time(lock.every()),
              Table.time(lock.after()),
              armed(lock),
              steps.apply(lock)));
    }
    page.end().end();
  }

  private static String end(@Nullable Quantity end) {
    return end == null ? Table.orDash("") : Table.value(end);
  }

  private static String budget(Interlock.@Nullable Budget budget) {
    return budget == null
        ? Table.orDash("")
        : Table.value(budget.beyond()) + ", " + Table.time(budget.noLonger());
  }

  private static String armed(Interlock lock) {
    String mains =
        List.of(Mains.values()).stream()
            .filter(state -> lock.mains().contains(state.purpose()))
            .map(Mains::toString)
            .collect(Collectors.joining(" or "));
    return "mains " + mains + (lock.when().isEmpty() ? "" : ", " + lock.when());
  }

  private static String steps(Plan plan, Interlock lock) {
    boolean toTheEnd = lock.lastStep() >= plan.steps().size();
    if (lock.firstStep() == 0 && toTheEnd) {
      return "all";
    }
    return "from "
        + plan.steps().get(lock.firstStep()).name()
        + (toTheEnd ? " on" : " to " + plan.steps().get(lock.lastStep()).name());
  }
}
