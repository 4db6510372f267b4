/**
 * One Linnet 12 as differential equations: supply, valves, transformers, feedback. Knows volts,
 * seconds and ohms only; nothing of instruments, files or clocks.
 */
@NullMarked
package kitproof.driver.simulated.unit;

import org.jspecify.annotations.NullMarked;
