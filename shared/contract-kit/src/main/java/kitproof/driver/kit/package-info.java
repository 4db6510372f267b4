/**
 * What every driver's tests extend and what stands in for instruments in tests. A test library:
 * nothing here is shipped.
 */
@NullMarked
package kitproof.driver.kit;

import org.jspecify.annotations.NullMarked;
