/** What the records of a batch tell together: read, summed up, exported. Changes no record. */
@NullMarked
package kitproof.batch;

import org.jspecify.annotations.NullMarked;
