/**
 * The operator's screen at the bench: what a run is doing as a fold of its journal and of the
 * latest values, who may drive it, and the server of its page.
 */
@NullMarked
package kitproof.screen;

import org.jspecify.annotations.NullMarked;
