package kitproof.procedure;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.Identity;
import kitproof.driver.LiveValue;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import org.jspecify.annotations.Nullable;

/** A person who answers at the n-th look, as a test says; without a script never. */
final class ScriptedOperator implements Operator {
  final List<Question> asked = new ArrayList<>();
  final List<LiveValue> shown = new ArrayList<>();
  final Deque<Answer> answers = new ArrayDeque<>();
  int looksBefore;
  @Nullable Question standing;
  private int looks;

  @Override
  public Identity identity() {
    return new Identity("", "scripted operator", "", "");
  }

  @Override
  public void ask(Question question) {
    asked.add(question);
    standing = question;
    looks = 0;
  }

  @Override
  public Optional<Answer> answer() {
    looks++;
    return looks > looksBefore ? Optional.ofNullable(answers.poll()) : Optional.empty();
  }

  @Override
  public void show(LiveValue value) {
    shown.add(value);
  }

  @Override
  public void makeSafe() {
    standing = null;
  }

  @Override
  public void close() {
    standing = null;
  }
}
