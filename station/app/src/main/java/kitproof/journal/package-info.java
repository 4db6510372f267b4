/**
 * The journal, which is the only queue, and the record, which is its fold.
 *
 * <p>The sequencer appends; everyone else reads at their own pace with a {@link
 * kitproof.journal.Follower}. Nothing here knows who reads.
 */
@NullMarked
package kitproof.journal;

import org.jspecify.annotations.NullMarked;
