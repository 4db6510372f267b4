package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Answer;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Question;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/**
 * Something that the person has to do before the run goes on, such as connecting the unit. Who
 * declines stops the run.
 */
final class PromptProcedure implements Procedure<PromptProcedure.Settings> {
  record Settings(
      @Meaning("the role of the person") @Initially("operator") String operator,
      @Meaning("what is to be done, in words for the person") String say,
      @Meaning("what to beware of while doing it; how live the unit is, if not given")
          @Nullable String caution,
      @Meaning("how long to wait for the person; 0 s for as long as it takes") @Initially("0 s")
          Duration patience) {}

  @Override
  public String id() {
    return "prompt";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        List.of(),
        List.of(new Outline.Need(settings.operator, InstrumentKind.OPERATOR, "")),
        false,
        Outline.MainsUse.NONE,
        Duration.ofSeconds(10));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Optional<Answer> answer =
        Asking.ask(
            bench,
            bench.operator(settings.operator),
            new Question.Confirm(settings.say, Asking.caution(settings.caution, bench)),
            settings.patience);
    if (answer.filter(Answer.Done.class::isInstance).isEmpty()) {
      bench.stop(Asking.why(answer));
    }
    return List.of();
  }
}
