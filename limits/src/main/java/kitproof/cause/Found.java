package kitproof.cause;

import kitproof.limit.Judgement;
import kitproof.value.Measurement;

/** A measurement with its judgement. */
public record Found(Measurement measurement, Judgement judgement) {}
