package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.calibration.Standing;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.ResultDocument;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A record beside one whose every figure is larger by 2 and whose curves stand half a dB higher.
 */
class CompareTest {
  @TempDir Path folder;

  /** What every figure of a record from here on is marked with. */
  private String mark = "";

  private Path record(String name, double moreFigure, double moreCurve) throws IOException {
    RecordStore store = new RecordStore(folder.resolve(name));
    try (Journal journal = store.begin(Fixture.RUN, () -> Instant.EPOCH)) {
      for (Event event : Fixture.events()) {
        journal.append(
            event instanceof Event.ResultJudged r ? more(r, moreFigure, moreCurve) : event);
      }
      return RecordDocument.write(store, journal.file());
    }
  }

  private Event more(Event.ResultJudged result, double moreFigure, double moreCurve) {
    Measurement m = result.measurement();
    Figure figure = m.figure();
    if (figure instanceof Figure.OfQuantity q) {
      figure =
          new Figure.OfQuantity(
              Quantity.of(q.quantity().value() + moreFigure, q.quantity().unit()));
    } else if (figure instanceof Figure.OfCurve c) {
      double[] y = c.curve().ys();
      for (int i = 0; i < y.length; i++) {
        y[i] += moreCurve;
      }
      figure =
          new Figure.OfCurve(Curve.of(c.curve().xUnit(), c.curve().xs(), c.curve().yUnit(), y));
    }
    return new Event.ResultJudged(
        result.index(),
        new Measurement(m.name(), m.conditions(), figure).noted(mark),
        result.judgement());
  }

  @Test
  void aRecordOfAnUncalibratedBenchIsNamed() throws IOException {
    Path first = record("first", 0, 0);
    mark = Standing.UNCALIBRATED;
    Path other = record("other", 0, 0);
    assertThat(Cli.run("compare", first, other).out())
        .contains("  note: the other one is uncalibrated\n");
    assertThat(Cli.run("compare", first, first).out()).doesNotContain("uncalibrated");
    JsonNode one = Cli.run("compare", other, first, "--json").json().get("results").get(0);
    assertThat(one.get("first-mark").asText()).isEqualTo("uncalibrated");
    assertThat(one.get("other-mark").asText()).isEmpty();
  }

  @Test
  void eachResultIsToldLessTheFirstOnes() throws IOException {
    Path first = record("first", 0, 0);
    Path other = record("other", 2, 0.5);
    Path curves = folder.resolve("differences.json");
    Cli cli = Cli.run("compare", first, other, "--json", "--curves", curves);
    assertThat(cli.code()).as(cli.err()).isZero();
    List<String> curvesTold = new ArrayList<>();
    int figures = 0;
    for (JsonNode result : cli.json().get("results")) {
      if (result.has("invalid")) {
        continue;
      }
      boolean curve = result.has("worst-at");
      assertThat(result.get("difference").asDouble()).isCloseTo(curve ? 0.5 : 2, within(1e-9));
      if (curve) {
        curvesTold.add(result.get("name").asText());
      } else {
        figures++;
      }
    }
    assertThat(curvesTold).contains("frequency response");
    assertThat(figures).isPositive();
    assertThat(Cli.run("plot", curves, "--out", folder.resolve("d.svg")).code()).isZero();
    assertThat(Files.readString(folder.resolve("d.svg"))).contains("requency response difference");
    assertThat(Cli.run("compare", first, other).out())
        .contains("linnet-12 LN12-001 less linnet-12 LN12-001", " at worst, at ");
  }

  /** What an analysis keeps knows nothing of mode, tap and channel. */
  @Test
  void whatAnalyzeKeptIsComparedToo() throws IOException {
    Path first = record("first", 0, 0);
    double[] hz = {20, 1000, 20_000};
    Path analysed = folder.resolve("analysed.json");
    Curve curve = Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, new double[] {0.25, 0.25, 0.25});
    Curve higher = Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, new double[] {1, 2, 1});
    Conditions none = Conditions.NONE;
    new ResultDocument("a.wav", List.of(Measurement.of("frequency response", none, curve)))
        .write(analysed);
    Path other = folder.resolve("other.json");
    new ResultDocument("b.wav", List.of(Measurement.of("frequency response", none, higher)))
        .write(other);

    Cli two = Cli.run("compare", analysed, other);
    assertThat(two.code()).as(two.err()).isZero();
    assertThat(two.out()).contains("b.wav less a.wav").contains("+1.75 dB at worst, at 1 kHz");
    Cli withRun = Cli.run("compare", first, other, "--result", "frequency response", "--json");
    assertThat(withRun.code()).as(withRun.err()).isZero();
    assertThat(withRun.json().get("results")).hasSize(1);
    assertThat(Cli.run("compare", first, other, "--when", "mode=none").err())
        .contains("found no result when mode none");
  }

  @Test
  void whatCannotBeComparedIsTold() throws IOException {
    Path first = record("first", 0, 0);
    assertThat(Cli.run("compare", first, first, "--result", "frequency responce").err())
        .contains("did you mean \"frequency response\"?");
    assertThat(Cli.run("compare", first, first, "--when", "tap=9 ohm").err())
        .contains("found no result when tap 9 ohm");
    assertThat(Cli.run("compare", first, folder.resolve("none.json")).err())
        .contains("none.json: found no such file");
    assertThat(Cli.run("compare", first).code()).isEqualTo(2);
  }
}
