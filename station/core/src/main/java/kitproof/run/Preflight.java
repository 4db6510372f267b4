package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
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
    problems.addAll(InterlocksOnBench.check(plan, bench, drivers));
    problems.addAll(LimitsOnPlan.check(limits, plan));
    return problems;
  }

  /** Every problem of a bench with its drivers. */
  public static List<Problem> bench(Bench bench, Map<String, DriverProvider> drivers) {
    return BenchOnDrivers.check(bench, drivers);
  }

  /** Every problem of a plan with its limits. */
  public static List<Problem> limits(LimitFile limits, Plan plan) {
    return LimitsOnPlan.check(limits, plan);
  }
}
