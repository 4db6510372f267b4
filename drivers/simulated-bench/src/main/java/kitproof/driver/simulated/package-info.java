/** Meter, switcher, audio interface and operator around one simulated Linnet 12. */
@NullMarked
package kitproof.driver.simulated;

import org.jspecify.annotations.NullMarked;
