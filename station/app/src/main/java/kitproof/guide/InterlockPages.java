package kitproof.guide;

import java.util.List;
import java.util.stream.Collectors;
import kitproof.interlock.Interlock;
import kitproof.plan.Mains;
import kitproof.plan.Plan;
import kitproof.report.Markup;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** What a plan watches beside its steps. */
final class InterlockPages {
  private static final String BOARDS =
      "Besides, every relay board is asked each second while mains is on, whether it answers and its"
          + " relays are as they were left: 4\u00a0s and the relays' time.";

  private final Markup page;

  InterlockPages(Markup page) {
    this.page = page;
  }

  void write(Plan plan) {
    page.begin("section").element("h2", "Interlocks of plan " + plan.name());
    if (plan.interlocks().isEmpty()) {
      page.element("p", "The plan names none.").element("p", BOARDS).end();
      return;
    }
    page.element(
        "p",
        "The program reads these meters beside every step. A value outside its band takes the mains"
            + " away within the time given; so does a meter that says nothing. The meters must be"
            + " connected whenever a unit is.");
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
    for (Interlock lock : plan.interlocks()) {
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
              steps(plan, lock)));
    }
    page.end().end().element("p", BOARDS).end();
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
