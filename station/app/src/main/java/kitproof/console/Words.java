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

  String faint(String text) {
    return wrap("2", text);
  }

  /** Short and all of one width, for the beginning of a line. */
  String judged(Judgement.Outcome outcome) {
    return switch (outcome) {
      case PASS -> good("pass ");
      case FAIL -> bad("FAIL ");
      case GUARD_BAND -> warn("guard");
      case NOT_JUDGED -> "  -  ";
    };
  }

  private String wrap(String code, String text) {
    return emphasis ? ESCAPE + code + "m" + text + ESCAPE + "0m" : text;
  }
}
