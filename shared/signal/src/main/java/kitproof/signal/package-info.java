/**
 * Signal analysis: samples in, figures out.
 *
 * <p>Everything here is a pure function of its arguments: no input or output, no clock, no threads,
 * and arrays handed in are never modified. Volts are rms unless a name says peak. Arguments that
 * cannot be analysed (empty, one sample, not finite) are refused with {@link
 * IllegalArgumentException}.
 */
@NullMarked
package kitproof.signal;

import org.jspecify.annotations.NullMarked;
