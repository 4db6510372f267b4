package kitproof.interlock;

import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * Why the mains has to go.
 *
 * @param interlock the name of the interlock
 * @param why for people, such as "hv-meter hv 455 V is above 420 V"
 * @param reading the value that caused it; null if there was none
 * @param stationAtFault whether the station failed, not the unit
 * @param sinceNanos bench time at which the reading that caused it began, or at which it was missed
 */
public record Trip(
    String interlock,
    String why,
    @Nullable Quantity reading,
    boolean stationAtFault,
    long sinceNanos) {

  /** The whole sentence for records. */
  public String reason() {
    return "interlock \"" + interlock + "\" tripped: " + why;
  }
}
