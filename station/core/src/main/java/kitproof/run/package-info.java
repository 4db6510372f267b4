/** Runs a plan on a bench: order in time, safe state, judging, events. */
@NullMarked
package kitproof.run;

import org.jspecify.annotations.NullMarked;
