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
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.QuantityRange;
import org.jspecify.annotations.Nullable;

/** A value that the person reads by eye, from a dial or an instrument of its own. */
final class EntryProcedure implements Procedure<EntryProcedure.Settings> {
  record Settings(
      @Meaning("the role of the person") @Initially("operator") String operator,
      @Meaning("what is to be read, in words for the person") String say,
      @Meaning("what to beware of while doing it; how live the unit is, if not given")
          @Nullable String caution,
      @Meaning("the result's name") String result,
      @Meaning("what the value can be at all; others are asked for again") QuantityRange plausible,
      @Meaning("how long to wait for the person; 0 s for as long as it takes") @Initially("0 s")
          Duration patience) {}

  @Override
  public String id() {
    return "entry";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        List.of(
            new Outline.Promise(
                settings.result, Conditions.NONE, settings.plausible.low().unit(), false)),
        List.of(new Outline.Need(settings.operator, InstrumentKind.OPERATOR, "")),
        false,
        Outline.MainsUse.NONE,
        Duration.ofSeconds(15));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Optional<Answer> answer =
        Asking.ask(
            bench,
            bench.operator(settings.operator),
            new Question.Entry(
                settings.say,
                Asking.caution(settings.caution, bench),
                settings.result,
                settings.plausible),
            settings.patience);
    if (answer.isPresent() && answer.get() instanceof Answer.Value value) {
      return List.of(Measurement.of(settings.result, bench.conditions(), value.quantity()));
    }
    return List.of(Measurement.invalid(settings.result, bench.conditions(), Asking.why(answer)));
  }
}
