package kitproof.batch;

import java.util.List;

/**
 * That a run's figures are not those of its record, but were measured again on its captures.
 *
 * @param plan digest of the plan it was done by, "sha256:…"
 * @param bench digest of the bench file, likewise
 * @param troubles steps that could not be measured again, with the reason; they stand as recorded
 */
public record MeasuredAgain(String plan, String bench, List<String> troubles) {
  public MeasuredAgain {
    troubles = List.copyOf(troubles);
  }
}
