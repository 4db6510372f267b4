package kitproof.screen;

import java.util.Optional;
import kitproof.limit.Judge;
import kitproof.limit.Limit;
import kitproof.limit.MaskPlace;
import kitproof.plan.PlanStep;
import kitproof.procedure.Heard;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;

/** What of that which a step hears has a limit. */
record Audible(PlanStep step, Judge judge) {
  private static final String CHANNEL = "channel";

  /** A figure on its way, with the limit that its result will be judged by. */
  record Bounded(Heard.Figure figure, Limit.Scalar limit) {}

  /** The first figure that the step promises and that has a limit where it is. */
  Optional<Bounded> bounded(Heard heard) {
    Conditions conditions =
        heard.channel().isEmpty()
            ? step.conditions()
            : step.conditions().with(CHANNEL, heard.channel());
    for (Heard.Figure figure : heard.figures()) {
      for (Outline.Promise promise : step.outline().promises()) {
        if (promise.name().equals(figure.result())
            && promise.curve() == (figure.at() != null)
            && promise.unit() == figure.value().unit()) {
          Optional<Bounded> found =
              judge
                  .entryFor(promise.name(), conditions.and(promise.more()))
                  .flatMap(entry -> limit(entry.limit(), figure))
                  .map(limit -> new Bounded(figure, limit));
          if (found.isPresent()) {
            return found;
          }
        }
      }
    }
    return Optional.empty();
  }

  private static Optional<Limit.Scalar> limit(Limit limit, Heard.Figure figure) {
    if (limit instanceof Limit.Scalar scalar && figure.at() == null) {
      return Optional.of(scalar);
    }
    return limit instanceof Limit.Mask mask && figure.at() != null
        ? MaskPlace.of(mask, figure.at())
        : Optional.empty();
  }
}
