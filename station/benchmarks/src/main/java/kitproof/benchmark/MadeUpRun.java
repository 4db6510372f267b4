package kitproof.benchmark;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/** A run that no bench has seen: steps with two values and a curve each. */
final class MadeUpRun {
  private static final int POINTS = 60;
  private static final List<String> TAPS = List.of("4 ohm", "8 ohm", "16 ohm");

  private final List<Entry> entries = new ArrayList<>();

  /**
   * A run whose entries are a step's length apart.
   *
   * @param steps how many; each has three results
   */
  MadeUpRun(
      String station,
      String unit,
      String batch,
      Instant begin,
      Duration step,
      int steps,
      Random r) {
    String run = begin + "-" + station + "-" + unit;
    List<Event.PlannedStep> planned = new ArrayList<>();
    for (int i = 0; i < steps; i++) {
      planned.add(new Event.PlannedStep("step " + i, conditions(i), step));
    }
    add(
        run,
        begin,
        new Event.RunStarted(
            run, "shop", station, unit, batch, "Linnet 12", "B", "made up", Map.of(), planned));
    List<String> failed = new ArrayList<>();
    for (int i = 0; i < steps; i++) {
      Instant at = begin.plus(step.multipliedBy(i));
      Conditions conditions = conditions(i);
      add(run, at, new Event.StepStarted(i, "step " + i, "gain", conditions));
      Instant ended = at.plus(step);
      boolean bad = r.nextInt(40 * steps) == 0;
      Quantity gain = Quantity.of(27.3 + 0.1 * r.nextGaussian(), Unit.DECIBEL);
      Measurement gained =
          Measurement.of("gain " + i / 6, conditions, gain).with(known(0.02 + 1e-4 * i));
      add(run, ended, new Event.ResultJudged(i, gained, judgement(bad)));
      if (bad) {
        failed.add(gained.title());
      }
      Quantity hum = Quantity.of(1e-4 * Math.exp(0.2 * r.nextGaussian()), Unit.VOLT);
      add(
          run,
          ended,
          new Event.ResultJudged(
              i,
              Measurement.of("hum " + i / 6, conditions, hum).with(known(0.03 * hum.value())),
              judgement(false)));
      Measurement response =
          Measurement.of("response " + i / 6, conditions, hum)
              .with(new Figure.OfCurve(curve(r.nextGaussian())));
      add(run, ended, new Event.ResultJudged(i, response, judgement(false)));
      StepOutcome outcome = bad ? StepOutcome.FAILED : StepOutcome.PASSED;
      add(run, ended, new Event.StepFinished(i, "step " + i, conditions, outcome, "", step));
    }
    Verdict verdict = failed.isEmpty() ? Verdict.PASS : Verdict.FAIL;
    String reason = failed.isEmpty() ? "" : failed.size() + " results failed";
    add(run, begin.plus(step.multipliedBy(steps)), new Event.RunEnded(verdict, reason, failed));
  }

  private void add(String run, Instant time, Event event) {
    entries.add(new Entry(run, entries.size(), time, event));
  }

  /** A standard uncertainty, as messages of a calibrated bench carry it. */
  private static Uncertainty known(double standard) {
    return Uncertainty.of(standard, standard, 50, List.of());
  }

  private static Conditions conditions(int step) {
    return Conditions.of("mode", step % 2 == 0 ? "triode" : "ultralinear")
        .with("tap", TAPS.get(step / 2 % 3));
  }

  private static Judgement judgement(boolean bad) {
    return new Judgement(
        bad ? Judgement.Outcome.FAIL : Judgement.Outcome.PASS,
        new Limit.Scalar(null, Quantity.of(28, Unit.DECIBEL)),
        bad ? "above 28 dB" : "at most 28 dB");
  }

  private static Curve curve(double shift) {
    double[] x = new double[POINTS];
    double[] y = new double[POINTS];
    for (int i = 0; i < POINTS; i++) {
      x[i] = 20 * Math.pow(1000, i / (POINTS - 1.0));
      y[i] = -0.4 * Math.pow(x[i] / 20000, 2) + 0.01 * shift;
    }
    return Curve.of(Unit.HERTZ, x, Unit.DECIBEL, y);
  }

  List<Entry> entries() {
    return entries;
  }

  Event.RunStarted start() {
    return (Event.RunStarted) entries.get(0).event();
  }
}
