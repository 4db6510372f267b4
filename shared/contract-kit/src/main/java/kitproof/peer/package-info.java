/** Real peers for integration tests: programs that stand at the far end of a line. */
@NullMarked
package kitproof.peer;

import org.jspecify.annotations.NullMarked;
