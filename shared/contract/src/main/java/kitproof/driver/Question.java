package kitproof.driver;

import java.time.Duration;
import java.util.Locale;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;

/** What an operator is asked, as data: who shows it decides how. */
public sealed interface Question {
  /** What to do or to look at, in words for the person. */
  String text();

  /** What to beware of while doing it; empty if nothing beyond the usual. */
  String caution();

  /** To be done and confirmed. Answered by {@link Answer.Done} or {@link Answer.Declined}. */
  record Confirm(String text, String caution) implements Question {}

  /**
   * A value to be read by eye. Answered by {@link Answer.Value} or {@link Answer.Declined}.
   *
   * @param name of the result that it is for
   * @param plausible what a value can be at all; another one is asked for again
   */
  record Entry(String text, String caution, String name, QuantityRange plausible)
      implements Question {}

  /**
   * Something to be turned until a reading stays where it should be. Nobody needs to answer: it is
   * over when the reading has stayed inside for long enough. Only {@link Answer.Declined} ends it
   * earlier.
   *
   * @param control what is turned, such as "bias trimmer left"
   * @param window where the reading has to be
   * @param dwell for how long
   */
  record Adjustment(
      String text, String caution, String control, QuantityRange window, Duration dwell)
      implements Question {}

  /** For records: the kind of question with its bounds. */
  default String summary() {
    if (this instanceof Entry entry) {
      return text() + " [" + span(entry.plausible) + "]";
    }
    if (this instanceof Adjustment adjustment) {
      return String.format(
          Locale.ROOT,
          "%s [%s to %s for %.1f s]",
          text(),
          adjustment.control,
          span(adjustment.window),
          adjustment.dwell.toMillis() / 1e3);
    }
    return text();
  }

  private static String span(QuantityRange range) {
    Quantity low = range.low();
    return low.display() + " to " + range.high().display();
  }
}
