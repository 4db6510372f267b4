package kitproof.batch;

import static org.assertj.core.api.Assertions.assertThat;

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
import kitproof.limit.Judge;
import kitproof.limit.LimitFile;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** A run that left out what nobody had named a reference unit for, under other limits. */
class RejudgementTest {
  private static final Conditions LEFT = Conditions.of("channel", "left");
  private static final Conditions BESIDE = LEFT.with("against unit", "reference");

  private static LimitFile limits(String... rows) {
    return LimitFile.read(
            "l.yaml",
            "limits: l\nproduct: Linnet 12\nrevision: B\nrule: simple acceptance\njudge:\n"
                + String.join("\n", rows)
                + "\n")
        .value();
  }

  /**
   * A run that passed.
   *
   * @param left what it left out; none for a record from before that was kept
   * @param measured of which it has a figure of 26 dB
   */
  private static RunRecord run(List<Event.Awaited> left, Event.Awaited... measured) {
    List<Event> events = new ArrayList<>();
    events.add(
        new Event.RunStarted(
            "r",
            "attic",
            "bench-1",
            "LN12-001",
            "",
            "Linnet 12",
            "B",
            "final test",
            Map.of(),
            List.of(
                new Event.PlannedStep("audio", LEFT, Duration.ofSeconds(3)),
                new Event.PlannedStep("beside", LEFT, Duration.ZERO))));
    events.add(new Event.StepStarted(0, "audio", "gain", LEFT));
    for (Event.Awaited one : measured) {
      Measurement figure =
          Measurement.of(one.name(), one.conditions(), Quantity.of(26, Unit.DECIBEL));
      events.add(
          new Event.ResultJudged(
              0, figure, new Judge(limits("  - {result: gain, low: 20 dB}")).judge(figure)));
    }
    events.add(
        new Event.StepFinished(0, "audio", LEFT, StepOutcome.PASSED, "", Duration.ofSeconds(3)));
    if (!left.isEmpty()) {
      events.add(new Event.ResultsLeftOut(1, left));
    }
    events.add(
        new Event.StepFinished(
            1, "beside", LEFT, StepOutcome.SKIPPED, "no reference unit was named", Duration.ZERO));
    events.add(new Event.RunEnded(Verdict.PASS, "", List.of()));
    List<Entry> entries = new ArrayList<>();
    events.forEach(e -> entries.add(new Entry("r", entries.size(), Instant.EPOCH, e)));
    return RunRecord.of(entries);
  }

  private static final Event.Awaited GAIN = new Event.Awaited("gain", LEFT);
  private static final List<Event.Awaited> DIFFERENCE =
      List.of(new Event.Awaited("gain difference", BESIDE));
  private static final String OF_GAIN = "  - {result: gain, low: 20 dB}";
  private static final String OF_ALL = "  - {result: gain difference, low: -2 dB}";
  private static final String OF_REFERENCE =
      "  - {result: gain difference, when: {against unit: reference}, low: -1 dB}";
  private static final String OF_RESPONSE =
      "  - {result: worst response difference, when: {against unit: reference}, low: -1 dB}";

  private static String why(RunRecord run, String... rows) {
    return Rejudgement.of(run, null, limits(rows)).why();
  }

  @Test
  void whatWasLeftOutAsksForNothing() {
    RunRecord run = run(DIFFERENCE, GAIN);
    assertThat(Rejudgement.of(run, null, limits(OF_GAIN, OF_REFERENCE)).after())
        .isEqualTo(Verdict.PASS);
    assertThat(why(run, OF_GAIN, OF_ALL)).as("which would have judged it").isEmpty();
  }

  @Test
  void anotherLimitStillDoes() {
    RunRecord run = run(DIFFERENCE, GAIN);
    assertThat(why(run, OF_GAIN, OF_ALL, OF_REFERENCE))
        .isEqualTo("nothing was measured for the limit of gain difference");
    assertThat(why(run, OF_GAIN, OF_REFERENCE, OF_RESPONSE))
        .startsWith("nothing was measured for the limit of worst response difference");
  }

  @Test
  void soItIsWithFiguresOfWhichMoreSpecificLimitsJudgeAll() {
    RunRecord run = run(DIFFERENCE, GAIN, DIFFERENCE.get(0));
    assertThat(why(run, OF_GAIN, OF_ALL, OF_REFERENCE))
        .isEqualTo("nothing was measured for the limit of gain difference");
  }

  @Test
  void recordsFromBeforeDoNotSayWhatWasLeftOut() {
    RunRecord run = run(List.of(), GAIN);
    assertThat(why(run, OF_GAIN, OF_REFERENCE, OF_RESPONSE)).isEmpty();
    assertThat(why(run, OF_GAIN, OF_ALL)).isNotEmpty();
  }
}
