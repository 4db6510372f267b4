/**
 * Interlocks: readings watched beside the sequence, each of which takes the mains away in a stated
 * time.
 */
@NullMarked
package kitproof.interlock;

import org.jspecify.annotations.NullMarked;
