package kitproof.console;

import java.io.BufferedReader;
import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import kitproof.operator.Desk;
import kitproof.operator.Typed;
import kitproof.value.QuantityRange;

/**
 * Shows on a terminal what the person is asked, and takes whole typed lines as answers.
 *
 * <p>Whole lines, so that any terminal and any way of typing into one will do, and Ctrl-C stays
 * what it is. What was typed before a question was on the screen answers nothing. The thread that
 * prints calls {@link #news}, {@link #typing} and {@link #live}; the reading thread prints nothing.
 */
public final class Conversation {
  private static final String INDENT = "        ";

  private final Desk desk;
  private final BufferedReader typed;
  private final Queue<String> remarks = new ConcurrentLinkedQueue<>();
  private volatile long shown;
  private volatile boolean ended;

  /**
   * Begins to read, on a thread of its own that ends with the program or the input.
   *
   * @param typed lines as a person types them
   */
  public Conversation(Desk desk, BufferedReader typed) {
    this.desk = desk;
    this.typed = typed;
    Thread reader = new Thread(this::read, "kitproof-typed");
    reader.setDaemon(true);
    reader.start();
  }

  private void read() {
    try {
      for (String line = typed.readLine(); line != null; line = typed.readLine()) {
        take(line);
      }
    } catch (IOException e) {
      remarks.add("note: nothing can be read from the terminal any more: " + e.getMessage());
    }
    ended = true;
  }

  private void take(String line) {
    Optional<Desk.Standing> standing = desk.standing().filter(s -> s.number() == shown);
    if (standing.isEmpty()) {
      return;
    }
    try {
      desk.answer(shown, Typed.answer(standing.get().question(), line)).ifPresent(remarks::add);
    } catch (IllegalArgumentException e) {
      remarks.add(String.valueOf(e.getMessage()));
    }
  }

  /** Whether nothing more can be typed: nobody can answer. */
  boolean over() {
    return ended;
  }

  /** Lines not yet printed: a new question, or why what was typed cannot be taken. */
  List<String> news(Words words) {
    List<String> lines = new ArrayList<>();
    for (String remark = remarks.poll(); remark != null; remark = remarks.poll()) {
      lines.add(INDENT + words.warn(remark));
    }
    Optional<Desk.Standing> standing = desk.standing();
    if (standing.isPresent() && standing.get().number() != shown) {
      Question question = standing.get().question();
      if (!question.caution().isEmpty()) {
        lines.add(INDENT + words.bad("CAUTION  " + question.caution()));
      }
      lines.add(INDENT + words.strong(question.text()));
      lines.add(INDENT + words.faint("Type " + Typed.expected(question) + "."));
      shown = standing.get().number();
    }
    return lines;
  }

  /** What stands before the place where the person types; empty if nothing is to be typed. */
  Optional<String> typing() {
    return desk.standing()
        .filter(s -> s.number() == shown && !(s.question() instanceof Question.Adjustment))
        .map(s -> INDENT + "> ");
  }

  /** The live value of an adjustment, in one short line. */
  Optional<String> live() {
    Optional<Desk.Standing> standing = desk.standing().filter(s -> s.number() == shown);
    if (standing.isPresent()
        && standing.get().question() instanceof Question.Adjustment adjustment) {
      return Optional.of(
          INDENT + desk.live().map(v -> line(v, adjustment)).orElse("waiting for a reading"));
    }
    return Optional.empty();
  }

  private static String line(LiveValue live, Question.Adjustment wanted) {
    QuantityRange window = wanted.window();
    String span = window.low().display() + " to " + window.high().display();
    if (live.quantity().isEmpty()) {
      return live.trouble() + "   (" + span + ")";
    }
    String where =
        live.inside()
            ? "inside, " + seconds(live.settled()) + " of " + seconds(wanted.dwell())
            : live.quantity().get().compareTo(window.low()) < 0 ? "too low" : "too high";
    return live.quantity().get().display() + "   " + where + "   (" + span + ")";
  }

  private static String seconds(Duration time) {
    return String.format(Locale.ROOT, "%.1f s", time.toMillis() / 1e3);
  }
}
