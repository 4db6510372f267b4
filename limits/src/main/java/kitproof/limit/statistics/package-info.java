/**
 * What many results tell together: figures of a batch, control charts, capability, tolerance
 * limits, gauge studies, risks of a decision. Pure: numbers in, numbers out; units are the
 * caller's.
 */
@NullMarked
package kitproof.limit.statistics;

import org.jspecify.annotations.NullMarked;
