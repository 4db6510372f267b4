/** What a bench file implies for the person who wires or checks the bench, on paper. */
@NullMarked
package kitproof.guide;

import org.jspecify.annotations.NullMarked;
