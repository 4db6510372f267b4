/** Meter, switcher and audio interface in front of one simulated Linnet 12. */
@NullMarked
package kitproof.driver.simulated;

import org.jspecify.annotations.NullMarked;
