/** The person at the bench: one desk of questions, served by whichever front ends there are. */
@NullMarked
package kitproof.operator;

import org.jspecify.annotations.NullMarked;
