package kitproof.run;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.calibration.Calibration;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.limit.DecisionRule;
import kitproof.limit.LimitEntry;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Problem;

/**
 * Guarded limits against what is known of the bench: a result without an uncertainty would fail
 * every one of them, and that is told before the unit is touched.
 */
final class GuardedOnBench {
  private static final String SIMPLE = "or rule: simple acceptance";

  private final LimitFile limits;
  private final Plan plan;
  private final Bench bench;

  private GuardedOnBench(LimitFile limits, Plan plan, Bench bench) {
    this.limits = limits;
    this.plan = plan;
    this.bench = bench;
  }

  static List<Problem> check(LimitFile limits, Plan plan, Bench bench) {
    return limits.rule() == DecisionRule.GUARDED_ACCEPTANCE
        ? new GuardedOnBench(limits, plan, bench).problems()
        : List.of();
  }

  private List<Problem> problems() {
    Optional<Calibration> calibration = bench.standing().calibration();
    if (calibration.isEmpty() && !limits.entries().isEmpty()) {
      return List.of(
          Problem.of(
              limits.entries().get(0).location(),
              "guarded acceptance of results of a bench without calibration, which have no"
                  + " uncertainty",
              "a calibration beside the bench file, by kitproof calibrate, " + SIMPLE));
    }
    List<Problem> problems = new ArrayList<>();
    for (LimitEntry entry : limits.entries()) {
      String missing = missing(entry, calibration.orElseThrow());
      if (!missing.isEmpty()) {
        problems.add(
            Problem.of(
                entry.location(),
                "a guarded limit for " + entry.result() + ", " + missing,
                SIMPLE.substring("or ".length()) + ", or no limit for it"));
      }
    }
    return problems;
  }

  private String missing(LimitEntry entry, Calibration calibration) {
    for (PlanStep step : Stream.concat(plan.steps().stream(), plan.shutDown().stream()).toList()) {
      for (Outline.Promise promise : step.outline().promises()) {
        Conditions conditions = step.conditions().and(promise.more());
        if (!promise.name().equals(entry.result()) || contradicts(conditions, entry.when())) {
          continue;
        }
        if (promise.basis().isEmpty()) {
          return "which cannot be guarded: a yes or no and what a person enters have no uncertainty,"
              + " and checks of the station are judged by their normalised error";
        }
        for (Outline.Basis basis : EnumSet.copyOf(promise.basis())) {
          if (!has(calibration, basis, step)) {
            String where = basis == Outline.Basis.SOURCE_WITHIN ? "" : " in the calibration";
            return "which needs " + basis + where + ", for step " + step.title();
          }
        }
      }
    }
    return "";
  }

  /** Whether results under these conditions are none that the limit is for. */
  private static boolean contradicts(Conditions conditions, Conditions when) {
    for (var each : when.values().entrySet()) {
      String own = conditions.values().get(each.getKey());
      boolean anyChannel =
          each.getKey().equals(ChannelRoutes.CHANNEL) && ChannelRoutes.meansAll(conditions);
      if (own != null && !anyChannel && !own.equals(each.getValue())) {
        return true;
      }
    }
    return false;
  }

  private boolean has(Calibration calibration, Outline.Basis basis, PlanStep step) {
    return switch (basis) {
      case OBSERVED -> true;
      case INPUT -> {
        Set<String> audio = roles(step, InstrumentKind.AUDIO_INTERFACE);
        yield calibration.inputs().stream()
            .map(input -> input.value())
            .anyMatch(
                place ->
                    audio.contains(place.role())
                        && meant(step, place.channel())
                        && calibration
                            .path(place.role(), place.channel(), place.range())
                            .isPresent());
      }
      case PHASE -> {
        Set<String> audio = roles(step, InstrumentKind.AUDIO_INTERFACE);
        yield calibration.inputs().stream()
            .map(input -> input.value())
            .filter(place -> audio.contains(place.role()) && meant(step, place.channel()))
            .flatMap(
                place -> calibration.path(place.role(), place.channel(), place.range()).stream())
            .anyMatch(path -> !Double.isNaN(path.phaseStandard(path.range()[0])));
      }
      case OUTPUT ->
          calibration.inputs().stream()
              .map(input -> input.value())
              .filter(place -> meant(step, place.channel()))
              .anyMatch(place -> calibration.output(place.role(), place.channel()).isPresent());
      case LOAD -> loads(step).allMatch(route -> calibration.resistance(route).isPresent());
      case EXCHANGED ->
          exchanged(step).allMatch(route -> calibration.resistance(route).isPresent());
      case SOURCE_WITHIN -> false; // told only where the step does not state it
      case RESIDUAL -> bench.residual().isPresent() || calibration.hasResiduals();
      case LEAKAGE -> calibration.hasLeakages();
      case METER ->
          step.outline().needs().stream()
              .filter(need -> need.kind() == InstrumentKind.METER)
              .allMatch(need -> calibration.knowsMeter(need.role(), need.function()));
    };
  }

  private static Set<String> roles(PlanStep step, InstrumentKind kind) {
    return step.outline().needs().stream()
        .filter(need -> need.kind() == kind)
        .map(Outline.Need::role)
        .collect(Collectors.toSet());
  }

  private static boolean meant(PlanStep step, String channel) {
    String own = step.conditions().values().get(ChannelRoutes.CHANNEL);
    return own == null || own.equals(channel) || ChannelRoutes.meansAll(step.conditions());
  }

  /** Routes that the step selects by itself, for each of its channels. */
  private Stream<String> exchanged(PlanStep step) {
    return new ChannelRoutes(bench)
        .each(step.conditions()).stream()
            .flatMap(one -> step.outline().exchanges().stream().map(one::fill));
  }

  /** Routes of loads that the step's conditions may select. */
  private Stream<String> loads(PlanStep step) {
    List<Route> routes =
        bench.routes().stream().filter(r -> r.purpose() == Route.Purpose.LOAD).toList();
    return routes.isEmpty()
        ? Stream.of(Bench.FIXED_LOAD)
        : routes.stream()
            .filter(route -> !route.when().isEmpty())
            .filter(route -> !contradicts(step.conditions(), route.when()))
            .map(Route::name);
  }
}
