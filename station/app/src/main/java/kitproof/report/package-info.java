/** One unit's certificate, as a page and on paper. */
@NullMarked
package kitproof.report;

import org.jspecify.annotations.NullMarked;
