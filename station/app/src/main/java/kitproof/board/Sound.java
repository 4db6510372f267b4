package kitproof.board;

import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** Looks at values read from outside, which may have nothing where Java's types say something. */
final class Sound {
  private static final int MOST_POINTS = 4096;

  private Sound() {}

  /**
   * Does nothing if the result is whole.
   *
   * @throws MalformedException if a part is missing, or a curve is boundless
   */
  @SuppressWarnings("NullAway") // the types' promises are what is checked here
  static void check(Measurement measurement, Judgement judgement) throws MalformedException {
    if (measurement == null
        || judgement == null
        || measurement.name() == null
        || measurement.conditions() == null
        || measurement.figure() == null
        || judgement.outcome() == null
        || judgement.detail() == null) {
      throw new MalformedException("a result with a part missing");
    }
    if (measurement.name().length() > Fields.LONGEST_NAME
        || measurement.conditions().toString().length() > Fields.LONGEST_WORDS) {
      throw new MalformedException("a boundless name");
    }
    if (!sound(measurement.figure())) {
      throw new MalformedException("a figure without its value, or a boundless curve");
    }
    if (judgement.limit() instanceof Limit.Mask mask
        && (mask.points().size() > MOST_POINTS
            || mask.points().stream().anyMatch(p -> p.at() == null))) {
      throw new MalformedException("a mask that is none");
    }
  }

  @SuppressWarnings("NullAway")
  private static boolean sound(Figure figure) {
    if (figure instanceof Figure.OfQuantity of) {
      return of.quantity() != null && of.quantity().unit() != null;
    }
    if (figure instanceof Figure.OfCurve of) {
      return of.curve() != null && of.curve().size() <= MOST_POINTS;
    }
    return ((Figure.Invalid) figure).reason() != null;
  }
}
