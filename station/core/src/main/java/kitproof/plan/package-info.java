/** Plan and bench files: what is to be done, and with which instruments. */
@NullMarked
package kitproof.plan;

import org.jspecify.annotations.NullMarked;
