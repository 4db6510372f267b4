package kitproof.plan;

import java.time.Duration;
import kitproof.value.Quantity;

/**
 * What heat a load stands.
 *
 * @param power watts it stands for ever
 * @param over the time over which its heat averages: more than that power is stood for less
 */
public record LoadRating(Quantity power, Duration over) {}
