/** Programs that are not ours, started for the tests; each one missing is an error that says so. */
@NullMarked
package kitproof.peer;

import org.jspecify.annotations.NullMarked;
