/** Limit files and judgements. Pure: old records can be judged again without the unit. */
@NullMarked
package kitproof.limit;

import org.jspecify.annotations.NullMarked;
