package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Numbers by hand: 0.03 dB and 0.04 dB make 0.05 dB, of which they are 36 % and 64 %. */
class BudgetsPrintedTest {
  private static final Measurement GAIN =
      Measurement.of("gain", Conditions.of("channel", "left"), Quantity.of(26.5, Unit.DECIBEL))
          .with(
              Budget.of(
                      Contribution.known(
                              "full scale of input left", Distribution.NORMAL, 0.006, Unit.VOLT)
                          .times(5),
                      Contribution.known(
                          "path of left", Distribution.RECTANGULAR, 0.04, Unit.DECIBEL))
                  .uncertainty());

  private static final Measurement THD =
      Measurement.of("thd+n", Conditions.NONE, Quantity.of(0.1, Unit.PERCENT))
          .with(
              Budget.of(
                      Contribution.known("noise", Distribution.OFFSET, 0.02, Unit.PERCENT)
                          .on(Contribution.Side.BELOW),
                      Contribution.known("path", Distribution.NORMAL, 0.001, Unit.PERCENT).with(7))
                  .uncertainty())
          .noted("limited by the station, whose own residual is 0.06 % here");

  private static final Measurement BARE =
      Measurement.of("rise time", Conditions.NONE, Quantity.of(4e-6, Unit.SECOND));

  private static RunRecord record(Event... more) {
    List<Event> events = new ArrayList<>();
    events.add(
        new Event.RunStarted(
            "r",
            "shop",
            "bench-1",
            "LN12-001",
            "",
            "Linnet 12",
            "B",
            "plan",
            Map.of(),
            List.of(new Event.PlannedStep("all", Conditions.NONE, Duration.ZERO))));
    events.addAll(List.of(more));
    events.add(new Event.StepStarted(0, "all", "all", Conditions.NONE));
    Judgement none = new Judgement(Judgement.Outcome.NOT_JUDGED, null, "");
    for (Measurement each : List.of(GAIN, THD, BARE)) {
      events.add(new Event.ResultJudged(0, each, none));
    }
    List<Entry> entries = new ArrayList<>();
    for (Event event : events) {
      entries.add(new Entry("r", entries.size(), Instant.EPOCH, event));
    }
    return RunRecord.of(entries);
  }

  private static String printed(RunRecord record, String name) {
    StringWriter out = new StringWriter();
    new BudgetsPrinted(new PrintWriter(out)).print(record, name);
    return out.toString();
  }

  @Test
  void eachLineHasItsShareAndTheyAreCombinedAndExpanded() {
    String all =
        printed(
            record(new Event.CalibrationTold(true, "calibrated on 2026-11-26", List.of())), "gain");
    assertThat(all)
        .contains("calibrated on 2026-11-26")
        .contains("gain (channel left): 26.5 dB")
        .containsPattern("full scale of input left +B +normal +6 mV +5 dB/V +inf +36.0 %")
        .containsPattern("path of left +B +rectangular +0.04 dB +1 +inf +64.0 %")
        .contains("combined standard uncertainty 0.05 dB, effective degrees of freedom inf")
        .contains("k = 2.00 for 95.45 %: +/-0.1 dB")
        .doesNotContain("thd+n");
  }

  @Test
  void whatCountsOnOneSideIsSaidToAndSidesAreToldApart() {
    String all = printed(record(), "thd+n");
    assertThat(all)
        .contains("no calibration was told")
        .containsPattern("noise +B +offset, not corrected, below only")
        .containsPattern("path +B +normal +0.001 % +1 +7 +0.2 %")
        .contains("0.001 % above, 0.02 % below")
        .containsPattern("\\+0.002 % -0.04\\d* %");
  }

  /** The note stands above the budget, in which the station's share shows what it amounts to. */
  @Test
  void whatTheStationLimitsIsSaidToBe() {
    assertThat(printed(record(), "thd+n"))
        .containsSubsequence(
            "thd+n: 0.1 %",
            "note: limited by the station, whose own residual is 0.06 % here",
            "noise",
            "below only");
    assertThat(printed(record(), "gain")).doesNotContain("limited by the station");
  }

  @Test
  void whatIsNotKnownSaysSo() {
    assertThat(printed(record(), "")).contains("rise time: 4 us", "its uncertainty is not known");
  }
}
