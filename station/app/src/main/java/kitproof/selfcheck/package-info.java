/**
 * The check of the station itself: the fold of such runs' records, held against the calibration and
 * against earlier checks, and the lock that it puts on the station.
 */
@NullMarked
package kitproof.selfcheck;

import org.jspecify.annotations.NullMarked;
