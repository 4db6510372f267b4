package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.document.Bounds;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Answer;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.LiveValue;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.signal.Spread;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Something that the person turns while a reading is shown, until it has stayed in its window for
 * the dwell time; the result is the mean of that time. A glance through the window does not count.
 */
final class AdjustProcedure implements Procedure<AdjustProcedure.Settings> {
  record Settings(
      @Meaning("the role of the person") @Initially("operator") String operator,
      @Meaning("what is to be turned, and how, in words for the person") String say,
      @Meaning("what to beware of while doing it; how live the unit is, if not given")
          @Nullable String caution,
      @Meaning("the name of what is turned, such as \"bias trimmer left\"") String control,
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the result's name") String result,
      @Meaning("where the reading has to be") QuantityRange window,
      @Meaning("how long it has to stay there") @Initially("3 s") @Bounds(low = 0.1) Duration dwell,
      @Meaning("from one reading to the next") @Initially("250 ms") @Bounds(low = 0.01)
          Duration every,
      @Meaning("when to give up") @Initially("300 s") @Bounds(low = 0.1) Duration giveUpAfter) {}

  @Override
  public String id() {
    return "adjust";
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
                    settings.result, Conditions.NONE, settings.window.low().unit(), false)
                .known(Outline.Basis.METER)),
        List.of(
            new Outline.Need(settings.operator, InstrumentKind.OPERATOR, ""),
            new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.NONE,
        settings.dwell.plusSeconds(15));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Operator operator = bench.operator(settings.operator);
    Question question =
        new Question.Adjustment(
            settings.say,
            Asking.caution(settings.caution, bench),
            settings.control,
            settings.window,
            settings.dwell);
    return Asking.during(
        operator, question, () -> List.of(settled(settings, bench, operator, question)));
  }

  private static Measurement settled(
      Settings settings, StepBench bench, Operator operator, Question question)
      throws InstrumentException, InterruptedException {
    Meter meter = bench.meter(settings.meter);
    Duration start = bench.elapsed();
    Duration next = start;
    List<Meters.Sample> inside = new ArrayList<>();
    while (true) {
      Meters.Sample sample = Meters.sample(bench, meter, settings.function);
      if (sample.good() && contains(settings, sample.quantity())) {
        inside.add(sample);
      } else {
        inside.clear();
      }
      Duration stayed = stayed(inside);
      operator.show(
          new LiveValue(
              sample.good() ? Optional.of(sample.quantity()) : Optional.empty(),
              sample.trouble(),
              !inside.isEmpty(),
              stayed));
      if (stayed.compareTo(settings.dwell) >= 0) {
        Measurement mean = mean(settings, bench, inside);
        bench.answered(question, new Answer.Done());
        return mean;
      }
      Optional<Answer> answer = operator.answer();
      if (answer.isPresent()) {
        bench.answered(question, answer.get());
        return Measurement.invalid(settings.result, bench.conditions(), Asking.why(answer));
      }
      if (bench.elapsed().minus(start).compareTo(settings.giveUpAfter) > 0) {
        return Measurement.invalid(
            settings.result,
            bench.conditions(),
            "did not stay between "
                + settings.window.low().display()
                + " and "
                + settings.window.high().display()
                + " for "
                + settings.dwell.toMillis()
                + " ms within "
                + settings.giveUpAfter.toSeconds()
                + " s");
      }
      next = next.plus(settings.every);
      bench.waitForPerson(next.minus(bench.elapsed()));
    }
  }

  private static boolean contains(Settings settings, Quantity reading) throws InstrumentException {
    Unit unit = settings.window.low().unit();
    if (reading.unit() != unit) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          settings.meter
              + " reads "
              + settings.function
              + " in "
              + reading.unit().symbol()
              + ", the window is in "
              + unit.symbol());
    }
    return settings.window.contains(reading);
  }

  private static Duration stayed(List<Meters.Sample> inside) {
    if (inside.isEmpty()) {
      return Duration.ZERO;
    }
    double seconds = inside.get(inside.size() - 1).seconds() - inside.get(0).seconds();
    return Duration.ofNanos(Math.round(seconds * 1e9));
  }

  private static Measurement mean(Settings settings, StepBench bench, List<Meters.Sample> inside) {
    double[] values = inside.stream().mapToDouble(s -> s.quantity().value()).toArray();
    return MeterTrust.of(bench, settings.meter, settings.function)
        .known(
            Measurement.of(
                settings.result,
                bench.conditions(),
                Quantity.of(Spread.of(values).mean(), settings.window.low().unit())),
            values);
  }
}
