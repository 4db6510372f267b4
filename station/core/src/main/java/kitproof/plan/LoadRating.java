package kitproof.plan;

import java.time.Duration;
import kitproof.value.Quantity;

/**
 * What heat a load stands.
 *
 * @param power watts it stands for ever
 * @param over the time over which its heat averages: more than that power is stood for less
 * @param resistor what takes the heat, where several routes lead to it; empty if only this one does
 */
public record LoadRating(Quantity power, Duration over, String resistor) {
  /** Of a load that only one route leads to. */
  public LoadRating(Quantity power, Duration over) {
    this(power, over, "");
  }

  /** In which book the heat of this load is kept. */
  public String book(String load) {
    return resistor.isEmpty() ? load : resistor;
  }
}
