package kitproof.document;

import kitproof.value.Location;

/**
 * A value with its place, for checks that come after reading.
 *
 * @param location where the value begins
 * @param value what stands there
 */
public record Located<T>(Location location, T value) {}
