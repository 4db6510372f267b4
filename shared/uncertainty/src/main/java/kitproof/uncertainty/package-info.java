/**
 * Uncertainty of measurement: budgets, their combination by the law of propagation (JCGM 100:2008),
 * coverage, and what instruments' specifications mean. Pure: no I/O, no threads, no clock.
 */
@NullMarked
package kitproof.uncertainty;

import org.jspecify.annotations.NullMarked;
