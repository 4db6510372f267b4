package kitproof.batch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.document.Binder;
import kitproof.document.Parsed;
import kitproof.document.YamlReader;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** What cannot be compared is told, not tried. */
class PairingTest {
  private static final PairRules RULES =
      YamlReader.read("pairs.yaml", "{pairs: p, compare: [{result: response, difference: 1 dB}]}")
          .flatMap(section -> new Binder().bind(section, PairRules.class))
          .value();

  private static Measurement curve(double... hertz) {
    double[] level = new double[hertz.length];
    return Measurement.of(
        "response", Conditions.NONE, Curve.of(Unit.HERTZ, hertz, Unit.DECIBEL, level));
  }

  private static UnitHistory unit(String serial, Measurement measured) {
    List<Event> events =
        List.of(
            new Event.RunStarted(
                serial, "s", "b", serial, "pilot", "Linnet 12", "B", "p", Map.of(), List.of()),
            new Event.StepStarted(0, "audio", "sweep", Conditions.NONE),
            new Event.ResultJudged(
                0, measured, new Judgement(Judgement.Outcome.NOT_JUDGED, null, "")),
            new Event.StepFinished(
                0, "audio", Conditions.NONE, StepOutcome.PASSED, "", Duration.ZERO),
            new Event.RunEnded(Verdict.PASS, "", List.of()));
    List<Entry> entries = new ArrayList<>();
    events.forEach(e -> entries.add(new Entry(serial, entries.size(), Instant.EPOCH, e)));
    return new UnitHistory(serial, List.of(RunRecord.of(entries)));
  }

  private static Parsed<Pairing> matched(Measurement one, Measurement other) {
    return Pairing.of(new Batch("pilot", List.of(unit("A", one), unit("B", other))), RULES);
  }

  @Test
  void alikeIsMatched() {
    assertThat(matched(curve(20, 200), curve(20, 200)).value().pairs()).hasSize(1);
  }

  @Test
  void curvesWithoutASharedPlaceAreTold() {
    assertThat(matched(curve(20, 200), curve(2000, 20_000)).problems())
        .singleElement()
        .asString()
        .contains("curves of \"response\" that share no place", "that all units measured alike");
  }

  @Test
  void aCurveOfSomeUnitsOnlyIsTold() {
    Measurement figure = Measurement.of("response", Conditions.NONE, Quantity.of(0, Unit.DECIBEL));
    assertThat(matched(curve(20, 200), figure).problems())
        .singleElement()
        .asString()
        .contains("\"response\", which is a curve of some units only");
  }
}
