/** How each kind of step is done: settings in, driver calls, measurements out. */
@NullMarked
package kitproof.procedure;

import org.jspecify.annotations.NullMarked;
