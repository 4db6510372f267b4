package kitproof.plan;

import java.util.List;
import java.util.Map;
import kitproof.document.Holds;
import kitproof.document.Meaning;
import kitproof.value.Node;

/** A repeat of steps over conditions, as it is written; the first condition changes slowest. */
public record RepeatDocument(
    @Meaning("conditions, each with its values") Map<String, List<String>> repeat,
    @Meaning("the steps, or further repeats, done for each combination") @Holds(StepOrRepeat.class)
        List<Node> steps) {}
