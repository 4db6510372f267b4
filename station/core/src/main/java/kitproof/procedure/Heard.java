package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * What was last heard of a channel while a step measures, for who watches; no result, and judged by
 * nobody.
 *
 * @param channel the channel's name; empty for the only one
 * @param output rms at the unit's output
 * @param tone the frequency of a single tone; null if it was something else
 * @param power of that tone in the load; null if it was something else
 * @param figures what it would come to, under the names of results
 */
public record Heard(
    String channel,
    Quantity output,
    @Nullable Quantity tone,
    @Nullable Quantity power,
    List<Figure> figures) {
  public Heard {
    figures = List.copyOf(figures);
  }

  /**
   * A figure on its way to a result.
   *
   * @param result the result's name
   * @param at its place along a curve; null for a single quantity
   */
  public record Figure(String result, @Nullable Quantity at, Quantity value) {}

  /** The same with more figures, which are better known. */
  Heard with(List<Figure> more) {
    List<Figure> all = new ArrayList<>(more);
    all.addAll(figures);
    return new Heard(channel, output, tone, power, all);
  }
}
