/**
 * The contract between the station and its instruments. A driver plugin implements what is here.
 */
@NullMarked
package kitproof.driver;

import org.jspecify.annotations.NullMarked;
