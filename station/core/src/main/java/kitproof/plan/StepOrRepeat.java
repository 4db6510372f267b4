package kitproof.plan;

import kitproof.document.EitherOr;
import kitproof.document.Variant;

/** What a list of steps holds, for the schema. */
@EitherOr
record StepOrRepeat(RepeatDocument repeat, Variant<StepDocument, Record> step) {}
