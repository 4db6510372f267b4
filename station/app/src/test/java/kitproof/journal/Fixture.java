package kitproof.journal;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** One small run with an event of every kind; as JSON it is in journal-format-1.jsonl. */
public final class Fixture {
  public static final String RUN = "20261125T101500.123Z-LN12-001";

  private Fixture() {}

  public static List<Event> events() {
    Conditions tap = Conditions.of("mode", "triode").with("tap", "8 ohm");
    return List.of(
        new Event.RunStarted(
            RUN,
            "attic",
            "bench-1",
            "LN12-001",
            "first twelve",
            "linnet-12",
            "b",
            "linnet-12 final test",
            Map.of("plan", "sha256:01", "bench", "sha256:02", "limits", "sha256:03"),
            List.of(
                new Event.PlannedStep("rail", Conditions.NONE, Duration.ofMillis(1500)),
                new Event.PlannedStep("response", tap, Duration.ofSeconds(7)))),
        new Event.BenchOpened(Map.of("hv-meter", "Heron 6 digit meter", "loads", "relays")),
        new Event.StepStarted(0, "rail", "reading", Conditions.NONE),
        new Event.ResultJudged(
            0,
            Measurement.of("hv", Conditions.NONE, Quantity.of(331.2, Unit.VOLT)),
            new Judgement(
                Judgement.Outcome.PASS,
                new Limit.Scalar(Quantity.of(315, Unit.VOLT), Quantity.of(345, Unit.VOLT)),
                "within 315 V..345 V")),
        new Event.ResultJudged(
            0,
            Measurement.invalid("hv ripple", Conditions.NONE, "overload"),
            new Judgement(Judgement.Outcome.NOT_JUDGED, null, "no limit")),
        new Event.StepFinished(
            0, "rail", Conditions.NONE, StepOutcome.PASSED, "", Duration.ofMillis(1_250)),
        new Event.StepStarted(1, "response", "frequency-response", tap),
        new Event.ResultJudged(
            1,
            Measurement.of(
                "frequency response",
                tap,
                Curve.of(
                    Unit.HERTZ,
                    new double[] {20, 1000, 20000},
                    Unit.DECIBEL,
                    new double[] {-4.5, 0, -0.1})),
            new Judgement(
                Judgement.Outcome.FAIL,
                new Limit.Mask(
                    List.of(
                        new Limit.Point(
                            Quantity.of(20, Unit.HERTZ), Quantity.of(-3, Unit.DECIBEL), null),
                        new Limit.Point(
                            Quantity.of(20000, Unit.HERTZ), Quantity.of(-3, Unit.DECIBEL), null))),
                "at 20 Hz: -4.5 dB is below -3 dB")),
        new Event.StepFinished(1, "response", tap, StepOutcome.FAILED, "", Duration.ofSeconds(7)),
        new Event.SafeState("end of run", true, ""),
        new Event.Notice("HV rail unknown: treat as live"),
        new Event.RunEnded(
            Verdict.FAIL,
            "1 result failed",
            List.of("frequency response (mode triode, tap 8 ohm)")));
  }

  public static List<Entry> entries() {
    List<Entry> entries = new ArrayList<>();
    Instant start = Instant.parse("2026-11-25T10:15:00.123Z");
    for (Event event : events()) {
      entries.add(new Entry(RUN, entries.size(), start.plusSeconds(entries.size()), event));
    }
    return entries;
  }
}
