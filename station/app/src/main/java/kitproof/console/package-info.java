/** What a run looks like on a terminal. */
@NullMarked
package kitproof.console;

import org.jspecify.annotations.NullMarked;
