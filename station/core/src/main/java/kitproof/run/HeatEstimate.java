package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.LoadRating;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What a plan heats the loads of a bench with, reckoned before anything is touched: each step
 * drives its highest power for all the time it should take, which is more than it does.
 *
 * <p>The averages are those of {@link HeatBudget}, with the time constant of each load's rating.
 */
public final class HeatEstimate {
  private final Bench bench;
  private final ChannelRoutes channels;

  /** What each resistor stands, by the name under which its heat is kept. */
  private final Map<String, LoadRating> ratings = new HashMap<>();

  private final Map<String, Double> means = new HashMap<>();
  private final Set<Problem> problems = new LinkedHashSet<>();
  private final List<Step> steps = new ArrayList<>();

  /**
   * A step's hottest load when it is over.
   *
   * @param step the step with its conditions
   * @param load the load's name
   * @param power watts that the step drives into it at most
   * @param mean watts, averaged as the load's heat is, at the end of the step
   * @param rating watts that the load stands for ever
   * @param cooling how long the step would have to wait if it drove that power all the time; zero
   *     if the load stands it
   */
  public record Step(
      String step, String load, double power, double mean, double rating, Duration cooling) {
    /** The average as a part of the rating. */
    public double share() {
      return mean / rating;
    }

    @Override
    public String toString() {
      return String.format(
          Locale.ROOT,
          "%s: load \"%s\" at %.0f %% of its %s%s",
          step,
          load,
          100 * share(),
          Quantity.of(rating, Unit.WATT).display(),
          cooling.isZero() ? "" : ", may wait " + (cooling.toMillis() + 999) / 1000 + " s to cool");
    }
  }

  /**
   * What was reckoned.
   *
   * @param steps every step that drives into a load with a rating, in order
   * @param problems steps that drive more than even a cold load would stand
   */
  public record Result(List<Step> steps, List<Problem> problems) {
    public Result {
      steps = List.copyOf(steps);
      problems = List.copyOf(problems);
    }
  }

  private HeatEstimate(Bench bench) {
    this.bench = bench;
    this.channels = new ChannelRoutes(bench);
    bench.ratings().forEach((load, rating) -> ratings.put(rating.book(load), rating));
  }

  /** Reckons with a plan that fits its bench. */
  public static Result of(Plan plan, Bench bench) {
    HeatEstimate estimate = new HeatEstimate(bench);
    plan.steps().forEach(estimate::step);
    return new Result(estimate.steps, List.copyOf(estimate.problems));
  }

  private void step(PlanStep step) {
    Outline outline = step.outline();
    Outline.Drive drive = outline.drive();
    Map<String, Double> driven =
        drive == null ? Map.of() : driven(step, drive.power().in(Unit.WATT));
    cool(step.pause());
    double seconds = seconds(outline.expected());
    @Nullable Step hottest = null;
    for (Map.Entry<String, Double> one : driven.entrySet()) {
      LoadRating rating = Objects.requireNonNull(ratings.get(one.getKey()));
      Step heated = heated(step, one.getKey(), one.getValue(), rating, seconds);
      if (hottest == null || heated.share() > hottest.share()) {
        hottest = heated;
      }
      if (drive != null) {
        requireThatEvenCold(step, one.getKey(), one.getValue(), rating, drive.longest());
      }
    }
    means.replaceAll((load, mean) -> driven.containsKey(load) ? mean : mean * kept(load, seconds));
    if (hottest != null) {
      steps.add(hottest);
    }
  }

  private void requireThatEvenCold(
      PlanStep step, String load, double watts, LoadRating rating, Duration signal) {
    double most = rating.power().in(Unit.WATT);
    if (watts * (1 - Math.exp(-seconds(signal) / seconds(rating.over()))) > most) {
      problems.add(
          Problem.of(
              step.location(),
              String.format(
                  Locale.ROOT,
                  "%.1f W for %.1f s in one signal into load \"%s\"",
                  watts,
                  seconds(signal),
                  load),
              String.format(
                  Locale.ROOT,
                  "less power, or a shorter signal: even cold the load stands %s over %d s",
                  rating.power().display(),
                  rating.over().toSeconds())));
    }
  }

  /** Heats a load through a step, which waits at its beginning if it has to. */
  private Step heated(PlanStep step, String load, double watts, LoadRating rating, double seconds) {
    double most = rating.power().in(Unit.WATT);
    double over = seconds(rating.over());
    double before = means.getOrDefault(load, 0.0);
    double kept = Math.exp(-seconds / over);
    double mean = watts + (before - watts) * kept;
    double wait = 0;
    if (mean > most) {
      double left = (most - watts * (1 - kept)) / kept;
      // In one go if the load can be cold enough for it, else as much as comes in on average.
      wait = left > 0 ? over * Math.log(before / left) : seconds * (watts / most - 1);
      mean = most;
    }
    means.put(load, mean);
    return new Step(
        step.title(), load, watts, mean, most, Duration.ofNanos(Math.round(wait * 1e9)));
  }

  private void cool(Duration time) {
    means.replaceAll((load, mean) -> mean * kept(load, seconds(time)));
  }

  private double kept(String load, double seconds) {
    LoadRating rating = Objects.requireNonNull(ratings.get(load));
    return Math.exp(-seconds / seconds(rating.over()));
  }

  /** The loads with a rating that a step drives, with the most it drives into each. */
  private Map<String, Double> driven(PlanStep step, double watts) {
    Map<String, Double> driven = new TreeMap<>();
    if (bench.fixedLoad().isPresent() && bench.ratings().containsKey(Bench.FIXED_LOAD)) {
      driven.put(Bench.FIXED_LOAD, watts);
    }
    Map<String, Route> own = own(step);
    own.values().forEach(load -> put(driven, load, watts));
    for (Conditions one : channels.each(step.conditions())) {
      for (String name : step.outline().exchanges()) {
        Route other = named(one.fill(name));
        if (other != null && other.purpose() == Route.Purpose.LOAD) {
          Route before = own.get(other.group());
          // A source of little resistance gives more into a smaller load.
          double more = before == null ? 1 : Math.max(1, ohms(before) / ohms(other));
          put(driven, other, watts * more);
        }
      }
    }
    return driven;
  }

  private void put(Map<String, Double> driven, Route load, double watts) {
    LoadRating rating = bench.ratings().get(load.name());
    if (rating != null) {
      driven.merge(rating.book(load.name()), watts, Math::max);
    }
  }

  /** The loads a step selects, by group; those by name in the places of what conditions want. */
  private Map<String, Route> own(PlanStep step) {
    Map<String, Route> own = new LinkedHashMap<>();
    for (Route route : channels.wanted(step.conditions())) {
      if (route.purpose() == Route.Purpose.LOAD) {
        own.put(route.group(), route);
      }
    }
    for (String name : step.select()) {
      Route route = named(name);
      if (route != null && route.purpose() == Route.Purpose.LOAD) {
        own.put(route.group(), route);
      }
    }
    return own;
  }

  private @Nullable Route named(String name) {
    return bench.routes().stream().filter(r -> r.name().equals(name)).findFirst().orElse(null);
  }

  private static double ohms(Route load) {
    return Objects.requireNonNull(load.load()).in(Unit.OHM);
  }

  private static double seconds(Duration time) {
    return time.toNanos() / 1e9;
  }
}
