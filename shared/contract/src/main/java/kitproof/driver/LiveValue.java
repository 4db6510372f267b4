package kitproof.driver;

import java.time.Duration;
import java.util.Optional;
import kitproof.value.Quantity;

/**
 * The latest reading while something is adjusted.
 *
 * @param quantity empty if the meter has no value to give
 * @param trouble why there is no value; else empty
 * @param inside whether it is in the window
 * @param settled for how long it has been inside without a break
 */
public record LiveValue(
    Optional<Quantity> quantity, String trouble, boolean inside, Duration settled) {}
