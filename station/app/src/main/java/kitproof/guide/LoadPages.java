package kitproof.guide;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.LoadRating;
import kitproof.plan.Plan;
import kitproof.report.Markup;
import kitproof.run.HeatEstimate;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What heat each load stands, to be compared with the resistor itself, and what plans make of it.
 */
final class LoadPages {
  private final Markup page;

  LoadPages(Markup page) {
    this.page = page;
  }

  /**
   * One resistor, as the file tells.
   *
   * @param routes those that lead to it
   * @param resistance as the first of them states it
   */
  private record Load(
      String name,
      List<String> routes,
      @Nullable Quantity resistance,
      @Nullable LoadRating rating) {}

  void write(Bench bench, List<Plan> plans) {
    List<Load> loads = loads(bench);
    if (loads.isEmpty()) {
      return;
    }
    page.begin("section").element("h2", "Loads and the heat they stand");
    page.element(
        "p",
        "The program lets a signal wait as long as it would carry a load's average power above the"
            + " rating of the file, and refuses one that even the cold load would not stand. What"
            + " the resistor stands on its heat sink is written on it or in its data sheet: compare."
            + " A load without a rating in the file is not watched. Loads get hot: keep hands and"
            + " whatever burns away from them.");
    Table.begin(
        page,
        "loads",
        List.of(
            "Load", "Routes", "Stated", "Rating in the file", "Rating of the resistor", "Good"));
    page.begin("tbody");
    for (Load load : loads) {
      page.begin("tr").element("th", load.name, "scope", "row");
      page.element("td", String.join(", ", load.routes));
      Table.cell(page, load.resistance == null ? Table.orDash("") : Table.value(load.resistance));
      page.element("td", rating(load.rating));
      page.begin("td", "class", "measured").end();
      Table.box(page);
      page.end();
    }
    page.end().end();
    plans.forEach(plan -> heat(plan, bench));
    page.end();
  }

  static String rating(@Nullable LoadRating rating) {
    return rating == null
        ? "none: its heat is not watched"
        : Table.value(rating.power()) + ", averaged over " + Table.time(rating.over());
  }

  private static List<Load> loads(Bench bench) {
    Map<String, Load> loads = new LinkedHashMap<>();
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.LOAD) {
        LoadRating rating = bench.ratings().get(route.name());
        String name = rating == null ? route.name() : rating.book(route.name());
        loads
            .computeIfAbsent(name, n -> new Load(n, new ArrayList<>(), route.load(), rating))
            .routes
            .add(route.name());
      }
    }
    bench
        .fixedLoad()
        .ifPresent(
            load ->
                loads.put(
                    Bench.FIXED_LOAD,
                    new Load(
                        Bench.FIXED_LOAD,
                        List.of("every output"),
                        load,
                        bench.ratings().get(Bench.FIXED_LOAD))));
    return List.copyOf(loads.values());
  }

  /** The hottest step of each load. */
  private void heat(Plan plan, Bench bench) {
    Map<String, List<HeatEstimate.Step>> byLoad = new LinkedHashMap<>();
    for (HeatEstimate.Step step : HeatEstimate.of(plan, bench).steps()) {
      byLoad.computeIfAbsent(step.load(), load -> new ArrayList<>()).add(step);
    }
    page.element("h3", "What plan " + plan.name() + " heats them with");
    if (byLoad.isEmpty()) {
      page.element("p", "Not reckoned: no step drives into a load with a rating.");
      return;
    }
    page.element(
        "p",
        "Of each step only the load is told that is hottest after it, of two alike the first.");
    Table.begin(
        page,
        "heat",
        List.of(
            "Load",
            "Hottest after step",
            "Drives at most",
            "Average then",
            "Of the rating",
            "Steps wait in all"));
    page.begin("tbody");
    byLoad.forEach((load, steps) -> Table.row(page, load, cells(steps)));
    page.end().end();
  }

  private static List<String> cells(List<HeatEstimate.Step> steps) {
    HeatEstimate.Step hottest =
        steps.stream().max(Comparator.comparingDouble(HeatEstimate.Step::share)).orElseThrow();
    Duration waiting =
        steps.stream().map(HeatEstimate.Step::cooling).reduce(Duration.ZERO, Duration::plus);
    return List.of(
        hottest.step(),
        watts(hottest.power()),
        watts(hottest.mean()),
        String.format(Locale.ROOT, "%.0f\u00a0%%", 100 * hottest.share()),
        waiting.isZero()
            ? "not at all"
            : Table.time(Duration.ofSeconds((waiting.toMillis() + 999) / 1000)));
  }

  private static String watts(double watts) {
    return Quantity.of(watts, Unit.WATT).display(3).replace(' ', '\u00a0');
  }
}
