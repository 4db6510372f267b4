package kitproof.plan;

import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.Holds;
import kitproof.document.Initially;
import kitproof.document.Located;
import kitproof.document.Meaning;
import kitproof.value.Node;
import org.jspecify.annotations.Nullable;

/** A plan file as it is written. */
public record PlanDocument(
    @Meaning("the plan's name") String plan,
    @Meaning("the product it tests") String product,
    @Meaning("the product's revision") String revision,
    @Meaning("a regular expression that every serial number matches") @Nullable String serial,
    @Meaning("the limit file, seen from the plan's folder") String limits,
    @Meaning("whether it may run on a bench without a calibration that holds; every figure says so")
        @Initially("false")
        boolean uncalibrated,
    @Meaning("of a plan that calibrates: for how many days that holds, if --due does not say")
        @Initially("0")
        @Bounds(low = 0, high = 3660)
        int holdsDays,
    @Meaning("whose captures are kept beside the record (none, failed units', all), and as what")
        @Initially("none")
        KeptCaptures captures,
    @Meaning("what is done, in order: steps, and repeats of steps over conditions")
        @Holds(StepOrRepeat.class)
        List<Node> steps,
    @Meaning("readings watched beside the steps, each of which takes the mains away")
        @Nullable List<Located<InterlockDocument>> interlocks,
    @Meaning("what is done at the end whenever mains has been on, whatever happened before")
        @Holds(StepOrRepeat.class)
        @Nullable List<Node> shutDown) {}
