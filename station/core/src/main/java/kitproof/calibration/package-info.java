/**
 * What is known of a bench's own errors: the calibration file beside the bench file, looked up by
 * role, channel, range and frequency. Knows no instruments, plans or limits.
 */
@NullMarked
package kitproof.calibration;

import org.jspecify.annotations.NullMarked;
