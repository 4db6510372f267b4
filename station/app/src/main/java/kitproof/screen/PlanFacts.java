package kitproof.screen;

import kitproof.limit.LimitFile;
import kitproof.plan.Plan;

/** A plan with its limits. */
public record PlanFacts(Plan plan, LimitFile limits) {}
