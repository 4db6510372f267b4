package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
import kitproof.driver.Settings;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.value.Problem;

/**
 * Finds everything that would go wrong with a run, before any hardware is touched: plan against
 * bench, bench against drivers, limits against plan.
 */
public final class Preflight {
  private Preflight() {}

  /** Every problem with running this plan on this bench under these limits. */
  public static List<Problem> check(
      Plan plan, Bench bench, LimitFile limits, Map<String, DriverProvider> drivers) {
    List<Problem> problems = new ArrayList<>(bench(bench, drivers));
    problems.addAll(PlanOnBench.check(plan, bench));
    ReadingTimes times = new ReadingTimes(drivers);
    problems.addAll(InterlocksOnBench.check(plan, bench, times));
    problems.addAll(RoundsOnBench.check(plan, bench, times));
    problems.addAll(times.problems());
    problems.addAll(LimitsOnPlan.check(limits, plan));
    problems.addAll(GuardedOnBench.check(limits, plan, bench));
    if (problems.isEmpty()) { // what has been told already need not be proved
      problems.addAll(HeatEstimate.of(plan, bench).problems());
      problems.addAll(DriveProof.of(plan, bench).problems());
    }
    return problems;
  }

  /**
   * The first step that asks a person although none can be asked; empty if there is none.
   *
   * @param why why nobody can be asked; empty if somebody can
   */
  public static List<Problem> nobodyToAsk(Plan plan, Bench bench, String why) {
    return why.isEmpty() ? List.of() : PeopleOnBench.nobody(plan, bench, why);
  }

  /** Every problem of a bench with its drivers. */
  public static List<Problem> bench(Bench bench, Map<String, DriverProvider> drivers) {
    return BenchOnDrivers.check(bench, drivers);
  }

  /** What the drivers of a bench say that its people have to know, each with its role. */
  public static List<String> cautions(Bench bench, Map<String, DriverProvider> drivers) {
    List<String> cautions = new ArrayList<>();
    for (Bench.Role role : bench.roles().values()) {
      DriverProvider driver = drivers.get(role.driver());
      if (driver != null) {
        for (String caution : driver.cautions(role.kind(), new Settings(role.settings()))) {
          cautions.add(role.name() + ": " + caution);
        }
      }
    }
    return cautions;
  }

  /** That proposed limits still need the name of a person, whatever they are to judge. */
  public static List<Problem> signedOff(LimitFile limits) {
    return LimitsOnPlan.unsigned(limits);
  }

  /**
   * Every problem of a plan with the other units that it compares with.
   *
   * @param unit on the bench; empty if that is not known yet
   */
  public static List<Problem> references(Plan plan, References references, String unit) {
    return ReferenceRules.check(plan, references, unit);
  }

  /** Every problem of a plan with its limits. */
  public static List<Problem> limits(LimitFile limits, Plan plan) {
    return LimitsOnPlan.check(limits, plan);
  }
}
