package kitproof.cli;

import java.time.Duration;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.run.HeatEstimate;

/**
 * What was reckoned of the heat of loads before a run, for people and for programs.
 *
 * @param plan the plan's name
 * @param bench the bench's name
 * @param result what was reckoned
 */
record HeatPrinted(String plan, String bench, HeatEstimate.Result result) {
  private Optional<HeatEstimate.Step> hottest() {
    return result.steps().stream().max(Comparator.comparingDouble(HeatEstimate.Step::share));
  }

  private Duration cooling() {
    return result.steps().stream()
        .map(HeatEstimate.Step::cooling)
        .reduce(Duration.ZERO, Duration::plus);
  }

  Map<String, Object> tree() {
    return Map.of(
        "plan", plan, "bench", bench, "steps", result.steps().stream().map(this::tree).toList());
  }

  private Map<String, Object> tree(HeatEstimate.Step step) {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("step", step.step());
    fields.put("load", step.load());
    fields.put("power", step.power());
    fields.put("mean", step.mean());
    fields.put("rating", step.rating());
    fields.put("cooling", step.cooling().toMillis() / 1e3);
    return fields;
  }

  /** One line, and one for each step that may have to wait. */
  @Override
  public String toString() {
    String name = "heat of loads, " + plan + " on " + bench + ": ";
    if (hottest().isEmpty()) {
      return name + "not reckoned; no step drives into a load with a rating";
    }
    List<String> waiting =
        result.steps().stream()
            .filter(step -> !step.cooling().isZero())
            .map(step -> System.lineSeparator() + "  " + step)
            .toList();
    return name
        + (waiting.isEmpty()
            ? "at most in step " + hottest().get()
            : "may wait up to "
                + (cooling().toMillis() + 999) / 1000
                + " s in all for them to cool, in these steps:"
                + String.join("", waiting));
  }
}
