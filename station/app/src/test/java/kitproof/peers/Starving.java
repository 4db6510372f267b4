package kitproof.peers;

import java.util.ArrayList;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.procedure.Procedure;
import kitproof.procedure.StepBench;
import kitproof.value.Measurement;

/**
 * A procedure that measures as the real one does and then wants more memory for its analysis than
 * any heap has: the virtual machine itself throws.
 */
record Starving<S extends Record>(Procedure<S> real) implements Procedure<S> {
  /** The plan with its step "gain" done so. */
  static Plan gain(Plan plan) {
    return new Plan(
        plan.name(),
        plan.product(),
        plan.revision(),
        plan.serial(),
        plan.limits(),
        plan.steps().stream().map(s -> s.name().equals("gain") ? starving(s) : s).toList(),
        plan.shutDown(),
        plan.interlocks(),
        plan.source());
  }

  private static PlanStep starving(PlanStep step) {
    return new PlanStep(
        step.location(),
        step.name(),
        new Starving<>(step.procedure()),
        step.settings(),
        step.conditions(),
        step.mains(),
        step.select(),
        step.pause(),
        step.onFail());
  }

  @Override
  public String id() {
    return real.id();
  }

  @Override
  public Class<S> settings() {
    return real.settings();
  }

  @Override
  public Outline outline(S settings) {
    return real.outline(settings);
  }

  @Override
  public List<Measurement> measure(S settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    List<Measurement> measured = real.measure(settings, bench);
    List<long[]> spectra = new ArrayList<>();
    while (spectra.size() < Integer.MAX_VALUE) {
      spectra.add(new long[Integer.MAX_VALUE - 8]);
    }
    return measured;
  }
}
