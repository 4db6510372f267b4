package kitproof.gauge;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Judgement.Outcome;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Records of trials with made-up or published figures. */
final class StudyRecords {
  static final Conditions LEFT = Conditions.of("channel", "left");

  private final Study study;
  private Instant now = Instant.parse("2026-11-26T08:00:00Z");

  StudyRecords(Study study) {
    this.study = study;
  }

  /** A gain, limited on both sides, and a response that falls with it at 20 kHz. */
  RunRecord trial(Study.Trial trial, double gain, Limit.Scalar limit, Verdict verdict) {
    now = now.plusSeconds(300);
    String run = now.toString().replaceAll("[-:]", "") + "-" + trial.unit();
    Curve response =
        Curve.of(
            Unit.HERTZ,
            new double[] {100, 10_000, 40_000},
            Unit.DECIBEL,
            new double[] {0, 0, 10 * gain});
    List<Event> events = new ArrayList<>();
    events.add(
        new Event.RunStarted(
            run,
            "attic",
            "bench-1",
            trial.unit(),
            "",
            "Linnet 12",
            "B",
            "final test",
            Map.of("plan", "sha256:01"),
            List.of(new Event.PlannedStep("audio", LEFT, Duration.ofSeconds(3)))));
    events.add(study.mark(trial));
    events.add(new Event.StepStarted(0, "audio", "gain", LEFT));
    if (verdict != Verdict.ERROR) {
      events.add(
          new Event.ResultJudged(
              0,
              Measurement.of("gain", LEFT, Quantity.of(gain, Unit.DECIBEL)),
              new Judgement(Outcome.PASS, limit, "words")));
      events.add(
          new Event.ResultJudged(
              0,
              Measurement.of("response", LEFT, response),
              new Judgement(Outcome.PASS, mask(), "words")));
    }
    events.add(
        new Event.StepFinished(0, "audio", LEFT, StepOutcome.PASSED, "", Duration.ofSeconds(3)));
    events.add(new Event.RunEnded(verdict, "", List.of()));
    List<Entry> entries = new ArrayList<>();
    for (Event event : events) {
      entries.add(new Entry(run, entries.size(), now.plusSeconds(entries.size()), event));
    }
    return RunRecord.of(entries);
  }

  private static Limit.Mask mask() {
    return new Limit.Mask(
        List.of(
            new Limit.Point(Quantity.of(100, Unit.HERTZ), Quantity.of(-60, Unit.DECIBEL), null),
            new Limit.Point(
                Quantity.of(40_000, Unit.HERTZ), Quantity.of(-60, Unit.DECIBEL), null)));
  }
}
