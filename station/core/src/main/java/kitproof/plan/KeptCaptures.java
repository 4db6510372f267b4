package kitproof.plan;

import kitproof.document.InShort;
import kitproof.document.Initially;
import kitproof.document.Meaning;

/** Which captures a plan has kept beside the record, and how. */
@InShort("keep")
public record KeptCaptures(
    @Meaning("whose: none, failed units', all") KeepCaptures keep,
    @Meaning("in which form: wav keeps 32 bits; flac takes less room and keeps 24")
        @Initially("wav")
        KeptAs as) {
  static final KeptCaptures NONE = new KeptCaptures(KeepCaptures.NONE, KeptAs.WAV);
}
