package kitproof.screen;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.operator.Desk;
import kitproof.operator.Typed;
import kitproof.procedure.Heard;
import kitproof.run.Latest;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** What is of the moment only, as a page shows it: readings, what is heard, what is asked. Pure. */
final class Moment {
  private Moment() {}

  /**
   * The HV rail as it was last read.
   *
   * @param ticks now, as the ticker of the values counts
   */
  static ScreenView.RailView rail(@Nullable Watched plan, @Nullable Latest values, long ticks) {
    if (plan == null || values == null || plan.rail().isEmpty()) {
      return new ScreenView.RailView("", "", 0, "", 0);
    }
    Watched.Source source = plan.rail().get();
    Quantity limit = plan.railLimit();
    String high = limit == null ? "" : limit.display();
    Optional<Latest.Taken> taken = values.reading(source.meter(), source.function());
    if (taken.isEmpty()) {
      return new ScreenView.RailView(source.toString(), "", 0, high, 0);
    }
    double age = (ticks - taken.get().ticks()) / 1e9;
    Reading reading = taken.get().reading();
    if (reading instanceof Reading.Value value) {
      Quantity volts = value.quantity();
      double share =
          limit == null || limit.unit() != volts.unit()
              ? 0
              : Bars.share(volts.value(), 0, limit.value());
      return new ScreenView.RailView(source.toString(), volts.display(), share, high, age);
    }
    String word = reading instanceof Reading.Overload ? "overload" : "no number";
    return new ScreenView.RailView(source.toString(), word, 1, high, age);
  }

  /**
   * What a step reads or hears.
   *
   * @param current the step, from 0; -1 if there is none
   */
  static List<RunView.LiveView> live(int current, @Nullable Watched plan, @Nullable Latest values) {
    if (plan == null || values == null || current < 0 || current >= plan.steps().size()) {
      return List.of();
    }
    List<Heard> heard = values.heard();
    if (!heard.isEmpty()) {
      return heard.stream().map(one -> Bars.of(plan.heard().get(current), one)).toList();
    }
    return plan.steps()
        .get(current)
        .flatMap(
            step ->
                values
                    .reading(step.source().meter(), step.source().function())
                    .map(taken -> Bars.of(step, taken.reading())))
        .map(List::of)
        .orElse(List.of());
  }

  /** What the person is asked; with a number only if it is the person at this screen. */
  static RunView.@Nullable QuestionView question(Desk desk, @Nullable Latest values) {
    Optional<Desk.Standing> standing = desk.standing();
    if (standing.isPresent()) {
      return view(standing.get().number(), standing.get().question(), desk.live());
    }
    return values == null
        ? null
        : values.question().map(asked -> view(null, asked, values.live())).orElse(null);
  }

  private static RunView.QuestionView view(
      @Nullable Long number, Question question, Optional<LiveValue> live) {
    String kind = "confirm";
    String unit = "";
    String control = "";
    RunView.LiveView bar = null;
    double settled = 0;
    double dwell = 0;
    if (question instanceof Question.Entry entry) {
      kind = "entry";
      unit = entry.plausible().low().unit().symbol();
    } else if (question instanceof Question.Adjustment adjustment) {
      kind = "adjust";
      control = adjustment.control();
      bar = Bars.of(adjustment, live);
      settled = live.map(LiveValue::settled).orElse(Duration.ZERO).toMillis() / 1e3;
      dwell = adjustment.dwell().toMillis() / 1e3;
    }
    return new RunView.QuestionView(
        number,
        kind,
        question.text(),
        question.caution(),
        Typed.expected(question),
        unit,
        control,
        bar,
        settled,
        dwell);
  }
}
