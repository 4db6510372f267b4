package kitproof.driver;

import kitproof.value.Unit;

/**
 * Something a meter can read.
 *
 * @param name as plans use it, for example "dc-voltage"
 * @param unit of its readings
 */
public record MeterFunction(String name, Unit unit) {}
