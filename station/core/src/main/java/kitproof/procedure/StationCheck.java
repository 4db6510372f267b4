package kitproof.procedure;

import java.util.List;
import java.util.Locale;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** What a check of the station that is a step of a unit's plan does where it finds the bad. */
public final class StationCheck {
  /** What the reason of a run begins with that such a step has stopped. */
  public static final String OUT = "the station is out of its limits";

  private StationCheck() {}

  /**
   * Stops the run if a normalised error is out of its bounds: no unit is judged with a station that
   * is not what it was.
   *
   * @param stops whether the step says so
   */
  static List<Measurement> checked(List<Measurement> results, boolean stops, StepBench bench) {
    for (Measurement each : results) {
      if (stops
          && each.name().endsWith(NormalisedError.SUFFIX)
          && each.figure() instanceof Figure.OfQuantity of
          && NormalisedError.beyond(of.quantity().value())) {
        bench.stop(
            String.format(
                Locale.ROOT,
                OUT + ": %s is %.2f, beyond -1 to 1; see to the station," + " then selfcheck again",
                each.title(),
                of.quantity().value()));
        return results;
      }
    }
    return results;
  }
}
