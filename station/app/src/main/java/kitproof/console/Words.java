package kitproof.console;

import kitproof.limit.Judgement;

/** Words with emphasis where the terminal shows it; the words alone say all there is to say. */
public final class Words {
  private static final String ESCAPE = "\u001b[";
  private final boolean emphasis;

  public Words(boolean emphasis) {
    this.emphasis = emphasis;
  }

  String strong(String text) {
    return wrap("1", text);
  }

  String warn(String text) {
    return wrap("33", text);
  }

  public String bad(String text) {
    return wrap("1;31", text);
  }

  public String good(String text) {
    return wrap("32", text);
  }

  String judged(Judgement.Outcome outcome) {
    return switch (outcome) {
      case PASS -> good(outcome.toString());
      case FAIL -> bad("FAIL");
      case GUARD_BAND -> warn(outcome.toString());
      case NOT_JUDGED -> outcome.toString();
    };
  }

  private String wrap(String code, String text) {
    return emphasis ? ESCAPE + code + "m" + text + ESCAPE + "0m" : text;
  }
}
