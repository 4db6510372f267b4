/** All records together: proved by their chain, found by an index made from the documents. */
@NullMarked
package kitproof.store;

import org.jspecify.annotations.NullMarked;
