package kitproof.plan;

import java.time.Duration;
import java.util.List;
import kitproof.document.Initially;
import kitproof.document.Key;
import kitproof.document.Meaning;
import kitproof.value.Conditions;
import org.jspecify.annotations.Nullable;

/** The keys that every step may have, whatever its procedure. */
public record StepDocument(
    @Meaning("the step's name") String step,
    @Meaning("how it is done") String procedure,
    @Meaning("what it holds under, beyond the repeats around it") @Nullable Conditions conditions,
    @Meaning("mains wanted from here on: off, limited, direct; left as it is if not given")
        @Nullable Mains mains,
    @Meaning("routes of the bench to select by name") @Nullable List<String> select,
    @Meaning("how long to wait before measuring") @Key("wait") @Initially("0 s") Duration pause,
    @Meaning("what a failure does: go on, or stop the run") @Initially("go on") OnFail onFail) {}
