package kitproof.plan;

import java.time.Duration;
import java.util.List;
import kitproof.procedure.Outline;
import kitproof.procedure.Procedure;
import kitproof.value.Conditions;
import kitproof.value.Location;
import org.jspecify.annotations.Nullable;

/**
 * One step to do, repetition written out.
 *
 * @param location where it stands in the plan
 * @param name its name
 * @param procedure how it is done
 * @param settings the procedure's settings, of its own record type
 * @param conditions what it holds under
 * @param mains mains wanted, or null to leave it
 * @param select routes wanted by name
 * @param pause before measuring
 * @param onFail what a failure does
 */
public record PlanStep(
    Location location,
    String name,
    Procedure<?> procedure,
    Record settings,
    Conditions conditions,
    @Nullable Mains mains,
    List<String> select,
    Duration pause,
    OnFail onFail) {
  public PlanStep {
    select = List.copyOf(select);
  }

  /** What it needs and yields. */
  public Outline outline() {
    return outlineOf(procedure, settings);
  }

  /** Its name with its conditions, for people. */
  public String title() {
    return conditions.isEmpty() ? name : name + " (" + conditions + ")";
  }

  private static <S extends Record> Outline outlineOf(Procedure<S> procedure, Record settings) {
    return procedure.outline(procedure.settings().cast(settings));
  }
}
