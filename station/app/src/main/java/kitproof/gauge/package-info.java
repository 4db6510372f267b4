/** Gauge studies: what the station itself adds to the spread of its results. */
@NullMarked
package kitproof.gauge;

import org.jspecify.annotations.NullMarked;
