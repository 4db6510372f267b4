/** Curves with their masks, drawn for paper and screen. */
@NullMarked
package kitproof.plot;

import org.jspecify.annotations.NullMarked;
