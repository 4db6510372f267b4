package kitproof.report;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;

/** A run with every figure that a front page tells, from front-page.txt. */
final class FullRun {
  private static final Instant START = Instant.parse("2026-11-25T22:18:16Z");

  private FullRun() {}

  /** All results held, or none did. */
  static RunRecord of(Verdict verdict) throws IOException {
    List<Event> events = new ArrayList<>();
    events.add(
        new Event.RunStarted(
            "20261125T221816.512Z-LN12-001",
            "demo-shop",
            "bench-1",
            "LN12-001",
            "first twelve",
            "Linnet 12",
            "B",
            "Linnet 12 acceptance",
            Map.of(),
            List.of(new Event.PlannedStep("all", Conditions.NONE, Duration.ZERO))));
    events.add(new Event.StepStarted(0, "all", "all", Conditions.NONE));
    boolean passed = verdict == Verdict.PASS;
    Judgement judgement =
        passed
            ? new Judgement(Judgement.Outcome.PASS, null, "within -1 dB..1 dB")
            : new Judgement(Judgement.Outcome.FAIL, null, "-12.34 dBV is above -45.67 dBV");
    measurements().forEach(m -> events.add(new Event.ResultJudged(0, m, judgement)));
    events.add(
        new Event.StepFinished(
            0,
            "all",
            Conditions.NONE,
            passed ? StepOutcome.PASSED : StepOutcome.FAILED,
            "",
            Duration.ofMinutes(5)));
    events.add(new Event.RunEnded(verdict, "", List.of()));
    List<Entry> entries = new ArrayList<>();
    for (Event event : events) {
      Instant time = START.plusSeconds(entries.size());
      entries.add(new Entry("20261125T221816.512Z-LN12-001", entries.size(), time, event));
    }
    return RunRecord.of(entries);
  }

  static List<Measurement> measurements() throws IOException {
    try (InputStream in = FullRun.class.getResourceAsStream("front-page.txt")) {
      byte[] bytes = Objects.requireNonNull(in).readAllBytes();
      return new String(bytes, StandardCharsets.UTF_8)
          .lines()
          .filter(line -> !line.startsWith("#"))
          .map(FullRun::measurement)
          .toList();
    }
  }

  private static Measurement measurement(String line) {
    String[] fields = line.split(" \\| ", -1);
    Conditions conditions = Conditions.NONE;
    for (String condition : fields[1].split(", ", -1)) {
      String[] pair = condition.split(": ", 2);
      conditions = conditions.with(pair[0], pair[1]);
    }
    return Measurement.of(fields[0], conditions, Quantity.parse(fields[2]));
  }
}
