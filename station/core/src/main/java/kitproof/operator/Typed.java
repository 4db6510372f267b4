package kitproof.operator;

import java.util.List;
import java.util.Locale;
import kitproof.driver.Answer;
import kitproof.driver.Question;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/** What a person's typed words mean as an answer; the same for every front end. */
public final class Typed {
  private static final List<String> NO = List.of("no", "n");

  private Typed() {}

  /**
   * The answer.
   *
   * <p>"no", with or without a reason after it, declines. An entry may leave its unit out.
   *
   * @throws IllegalArgumentException with what was found and what was expected
   */
  public static Answer answer(Question question, String typed) {
    String words = typed.strip();
    String first = words.split("[\\s,:]", 2)[0].toLowerCase(Locale.ROOT);
    if (NO.contains(first)) {
      return new Answer.Declined(
          words.substring(first.length()).replaceFirst("^[\\s,:]+", "").strip());
    }
    if (question instanceof Question.Entry entry) {
      return new Answer.Value(quantity(words, entry.plausible()));
    }
    boolean done = words.isEmpty() || List.of("yes", "y", "ok", "done").contains(first);
    if (question instanceof Question.Confirm && done) {
      return new Answer.Done();
    }
    throw new IllegalArgumentException("found \"" + words + "\"; expected " + expected(question));
  }

  /** What can be typed. */
  public static String expected(Question question) {
    if (question instanceof Question.Entry entry) {
      return expected(entry.plausible());
    }
    return question instanceof Question.Confirm
        ? "Enter when it is done, or \"no\" and why not"
        : "\"no\" to give it up, and why";
  }

  static String expected(QuantityRange plausible) {
    return "a value from " + plausible.low().display() + " to " + plausible.high().display();
  }

  private static Quantity quantity(String words, QuantityRange plausible) {
    Unit unit = plausible.low().unit();
    String text = words.replace(',', '.'); // as many people write it
    try {
      return text.matches("[+-]?[0-9.]+([eE][+-]?[0-9]+)?")
          ? Quantity.of(Double.parseDouble(text), unit)
          : Quantity.parse(text, unit);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(
          "found \"" + words + "\"; expected " + expected(plausible), e);
    }
  }
}
