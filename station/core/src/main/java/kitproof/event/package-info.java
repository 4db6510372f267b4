/** What happens in a run, as data. The sequencer alone emits; everyone else reads the journal. */
@NullMarked
package kitproof.event;

import org.jspecify.annotations.NullMarked;
