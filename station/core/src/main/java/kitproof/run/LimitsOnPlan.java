package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.driver.Route;
import kitproof.limit.Judge;
import kitproof.limit.Limit;
import kitproof.limit.LimitEntry;
import kitproof.limit.LimitFile;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.Places;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Problem;
import kitproof.value.Unit;

/**
 * A limit file against the plan whose results it judges: a limit that nothing can meet is wrong.
 */
final class LimitsOnPlan {
  private LimitsOnPlan() {}

  private record Promised(Outline.Promise promise, Conditions conditions) {
    private boolean ofEachChannel() {
      return promise.perChannel() && ChannelRoutes.meansAll(conditions);
    }

    /**
     * The conditions that its results may have.
     *
     * @param channels that plan and limits name; where they are fewer than two there may be others
     */
    List<Conditions> variants(Set<String> channels) {
      if (!ofEachChannel()) {
        return List.of(conditions);
      }
      List<Conditions> variants = new ArrayList<>();
      channels.forEach(channel -> variants.add(conditions.with(ChannelRoutes.CHANNEL, channel)));
      if (channels.size() < 2) {
        variants.add(conditions);
      }
      return variants;
    }

    /** Whether its conditions, or those of one of its channels, satisfy these. */
    boolean mayMeet(Conditions when) {
      String channel = when.values().get(ChannelRoutes.CHANNEL);
      boolean each = ofEachChannel();
      Conditions own =
          each && channel != null && !channel.equals(ChannelRoutes.BOTH)
              ? conditions.with(ChannelRoutes.CHANNEL, channel)
              : conditions;
      return own.satisfy(when) && !(each && ChannelRoutes.BOTH.equals(channel));
    }
  }

  static List<Problem> check(LimitFile limits, Plan plan) {
    List<Problem> problems = new ArrayList<>();
    same(limits, plan, problems);
    problems.addAll(unsigned(limits));
    List<Promised> promised =
        Stream.concat(plan.steps().stream(), plan.shutDown().stream())
            .flatMap(LimitsOnPlan::promisesOf)
            .toList();
    Judge judge = new Judge(limits);
    Set<String> channels = channels(limits, promised);
    for (LimitEntry entry : limits.entries()) {
      entry(entry, promised, judge, channels, problems);
    }
    boolean first = true;
    for (PlanStep step : plan.steps()) {
      boolean off = step.mains() != null && step.mains().purpose() == Route.Purpose.MAINS_OFF;
      first |= off || step.outline().mains() == Outline.MainsUse.OFF;
      if (step.outline().mains() == Outline.MainsUse.FIRST_POWER) {
        rise(limits, step, first, problems);
        first = false;
      }
    }
    return problems;
  }

  /** That nobody stands for proposed limits; empty where somebody does, or need not. */
  static List<Problem> unsigned(LimitFile limits) {
    return limits
        .unsigned()
        .map(
            place ->
                Problem.of(
                    place,
                    "proposed limits that nobody has signed off",
                    "under signed-off-by the name of a person who has read them and stands for"
                        + " them"))
        .stream()
        .toList();
  }

  /**
   * The limiter is taken out after a rise that has been judged; without a limit none is. The first
   * one since mains was off is judged while it happens, else a short would be on until the end of
   * the step.
   */
  private static void rise(LimitFile limits, PlanStep step, boolean first, List<Problem> problems) {
    boolean judged =
        promisesOf(step)
            .anyMatch(
                p ->
                    limits.entries().stream()
                        .anyMatch(e -> e.appliesTo(p.promise.name(), p.conditions)));
    if (!judged) {
      problems.add(
          Problem.of(
              step.location(),
              "a supply rise without a limit to judge it by",
              "a limit for "
                  + promisesOf(step)
                      .map(p -> p.promise.name())
                      .collect(Collectors.joining(" or "))));
    } else if (first && promisesOf(step).noneMatch(p -> showsAShort(limits, step, p))) {
      problems.add(
          Problem.of(
              step.location(),
              "a first power-up whose limits show a short at its end only",
              "a mask with corners before the end of the rise, with a low for "
                  + curves(step, Unit.VOLT)
                  + (curves(step, Unit.WATT).isEmpty()
                      ? ""
                      : ", or a high for " + curves(step, Unit.WATT))));
    }
  }

  private static String curves(PlanStep step, Unit unit) {
    return step.outline().promises().stream()
        .filter(promise -> promise.curve() && promise.unit() == unit)
        .map(Outline.Promise::name)
        .collect(Collectors.joining(" or "));
  }

  /** A rail that is shorted stays low, and the power that the mains gives is high. */
  private static boolean showsAShort(LimitFile limits, PlanStep step, Promised p) {
    return p.promise.curve()
        && limits.entries().stream()
            .filter(entry -> entry.appliesTo(p.promise.name(), p.conditions))
            .filter(entry -> entry.limit() instanceof Limit.Mask)
            .flatMap(entry -> ((Limit.Mask) entry.limit()).points().stream())
            .filter(point -> (p.promise.unit() == Unit.WATT ? point.high() : point.low()) != null)
            .anyMatch(
                point ->
                    point.at().unit() != Unit.SECOND // which is told by itself
                        || point.at().in(Unit.SECOND) * 1e9 < step.outline().expected().toNanos());
  }

  private static void same(LimitFile limits, Plan plan, List<Problem> problems) {
    if (!limits.product().equals(plan.product()) || !limits.revision().equals(plan.revision())) {
      problems.add(
          Problem.of(
              Places.of(plan.source(), "limits"),
              "limits for " + limits.product() + " revision " + limits.revision(),
              "limits for " + plan.product() + " revision " + plan.revision()));
    }
  }

  private static Stream<Promised> promisesOf(PlanStep step) {
    return step.outline().promises().stream()
        .map(promise -> new Promised(promise, step.conditions().and(promise.more())));
  }

  private static Set<String> channels(LimitFile limits, List<Promised> promised) {
    Set<String> channels = new TreeSet<>();
    Stream.concat(
            limits.entries().stream().map(LimitEntry::when),
            promised.stream().map(Promised::conditions))
        .flatMap(c -> Stream.ofNullable(c.values().get(ChannelRoutes.CHANNEL)))
        .filter(channel -> !channel.equals(ChannelRoutes.BOTH))
        .forEach(channels::add);
    return channels;
  }

  private static void entry(
      LimitEntry entry,
      List<Promised> all,
      Judge judge,
      Set<String> channels,
      List<Problem> problems) {
    List<Promised> named =
        all.stream().filter(p -> p.promise.name().equals(entry.result())).toList();
    if (named.isEmpty()) {
      problems.add(
          Problem.unknownName(
              entry.location(),
              "a limit for result",
              entry.result(),
              new TreeSet<>(all.stream().map(p -> p.promise.name()).toList())));
      return;
    }
    List<Promised> meeting = named.stream().filter(p -> p.mayMeet(entry.when())).toList();
    if (meeting.isEmpty()) {
      problems.add(
          Problem.of(
              entry.location(),
              "a limit for " + entry.result() + " that no step can meet, when " + entry.when(),
              "conditions of a step, such as " + named.get(0).conditions));
      return;
    }
    if (meeting.stream()
        .flatMap(p -> p.variants(channels).stream())
        .noneMatch(c -> judge.entryFor(entry.result(), c).filter(entry::equals).isPresent())) {
      problems.add(
          Problem.of(
              entry.location(),
              "a limit for "
                  + entry.result()
                  + " that judges nothing, as a more specific one judges each step that could meet"
                  + " it",
              "a step whose result has no other limit, or this limit left out"));
      return;
    }
    for (Promised p : meeting) {
      if (p.promise.curve() != entry.isCurve()) {
        problems.add(
            Problem.of(
                entry.location(),
                entry.isCurve()
                    ? "a mask for " + entry.result() + ", a single figure"
                    : "low or high for " + entry.result() + ", a curve",
                entry.isCurve() ? "low, high or both" : "a mask"));
        return;
      }
      Unit x = p.promise.against();
      if (x != null && entry.xUnit().filter(unit -> unit != x).isPresent()) {
        problems.add(
            Problem.of(
                entry.location(),
                "a mask against "
                    + entry.xUnit().get().symbol()
                    + " for "
                    + entry.result()
                    + ", a curve against "
                    + x.symbol(),
                "corners at places in " + x.symbol()));
        return;
      }
      if (p.promise.unit() != null && p.promise.unit() != entry.unit()) {
        problems.add(
            Problem.of(
                entry.location(),
                "a limit in " + entry.unit().symbol() + " for " + entry.result(),
                "a limit in " + p.promise.unit().symbol()));
        return;
      }
    }
  }
}
