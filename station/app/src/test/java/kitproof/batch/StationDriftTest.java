package kitproof.batch;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import kitproof.batch.StationDrift.Whose;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Drift of the station told from drift of the units by a check standard: a unit that is measured
 * before every second unit of the batch and does not change.
 */
class StationDriftTest {
  private static final String STANDARD = "LN12-900";

  /** Ten minutes from run to run; three runs for two units. */
  private static final double DAYS_A_RUN = 600 / 86_400.0;

  @TempDir Path folder;

  /**
   * A batch of 24 units with 13 checks.
   *
   * @param units what the units drift by, dB a day
   * @param station what the interface drifts by, which all readings have in them
   */
  private List<StationDrift> drifts(double units, double station) throws IOException {
    measured(units, station);
    RecordFolder records = new RecordFolder(folder);
    Batch batch = Batch.of("pilot", records.runs("pilot").runs());
    return StationDrift.of(Series.of(batch), records.ofUnits(Set.of(STANDARD)).runs());
  }

  private void measured(double units, double station) throws IOException {
    Linnets linnets = new Linnets(folder);
    Random random = new Random(21);
    int run = 0;
    for (int i = 0; i <= 24; i++) {
      if (i % 2 == 0) {
        double drifted = station * DAYS_A_RUN * run++;
        linnets.run("", 900, 25.8 + drifted + 0.005 * random.nextGaussian(), -0.5);
      }
      if (i < 24) {
        double drifted = (station + units) * DAYS_A_RUN * run++;
        linnets.run("pilot", i + 1, 26 + drifted + 0.03 * random.nextGaussian(), -0.5);
      }
    }
  }

  private static StationDrift gain(List<StationDrift> drifts) {
    return drifts.stream().filter(d -> d.series().name().equals("gain")).findFirst().orElseThrow();
  }

  @ParameterizedTest
  @CsvSource({
    "0,  0,   NOBODYS",
    "0,  0.8, STATIONS",
    "-1, 0,   UNITS",
    "-2, 0.8, BOTH",
    "-1, 1,   BOTH"
  })
  void eachDriftIsTheirs(double units, double station, Whose whose) throws IOException {
    StationDrift drift = gain(drifts(units, station));
    assertThat(drift.whose()).as(drift.words()).isEqualTo(whose);
    assertThat(drift.checks()).isEqualTo(13);
    assertThat(drift.standard()).isEqualTo(STANDARD);
    assertThat(drift.ofStation().bounds(0.99).contains(station)).as(drift.words()).isTrue();
    assertThat(drift.less().bounds(0.99).contains(units)).as(drift.words()).isTrue();
    assertThat(drift.ofUnits().bounds(0.99).contains(units + station)).isTrue();
  }

  /** What units and station do against each other would not be seen without the standard. */
  @Test
  void driftsThatHideEachOtherAreSeen() throws IOException {
    StationDrift drift = gain(drifts(-1, 1));
    assertThat(drift.ofUnits().probability()).isGreaterThan(SeriesReport.SIGNIFICANCE);
    assertThat(drift.words())
        .startsWith("the station and the units drift: by check standard LN12-900 (gain (mode");
  }

  @Test
  void checksFarFromTheBatchDoNotCount() throws IOException {
    Linnets before = new Linnets(folder);
    for (int i = 0; i < 6; i++) {
      before.run("", 900, 20 + i, -0.5);
    }
    Linnets linnets = new Linnets(folder);
    linnets.after(before);
    for (int i = 1; i <= 8; i++) {
      linnets.run("pilot", i, 26 + 0.01 * (i % 3), -0.5);
      linnets.run("", 900, 25.8 + 0.001 * (i % 2), -0.5);
    }
    RecordFolder records = new RecordFolder(folder);
    List<StationDrift> drifts =
        StationDrift.of(
            Series.of(Batch.of("pilot", records.runs("pilot").runs())),
            records.ofUnits(Set.of(STANDARD)).runs());
    assertThat(gain(drifts).checks()).as("the last before, seven between, one after").isEqualTo(9);
    assertThat(gain(drifts).whose()).isNotEqualTo(Whose.STATIONS);
  }

  /** What a check of the path alone measures stands for the gains of its channel, no others. */
  @Test
  void theLevelThatCameBackStandsForTheGainsOfItsChannel() {
    Instant begun = Instant.parse("2026-11-26T08:00:00Z");
    List<Series.Point> points = new ArrayList<>();
    List<RunRecord> checks = new ArrayList<>();
    for (int i = 0; i < 8; i++) {
      Instant then = begun.plusSeconds(86_400L * i);
      points.add(new Series.Point("LN12-00" + i, "bench-1", then, 26 - 0.1 * i + 0.01 * (i % 2)));
      checks.add(check(then.plusSeconds(60), -0.1 * i + 0.001 * (i % 3)));
    }
    Conditions left = Conditions.of("channel", "left").with("tap", "8 ohm");
    Series gain = new Series("gain", left, Unit.DECIBEL, null, false, points);
    Series right =
        new Series("gain", left.with("channel", "right"), Unit.DECIBEL, null, false, points);
    Series noise = new Series("noise", left, Unit.DECIBEL, null, false, points);
    List<StationDrift> drifts = StationDrift.of(List.of(gain, right, noise), checks);
    assertThat(drifts).hasSize(1);
    assertThat(drifts.get(0).series()).isEqualTo(gain);
    assertThat(drifts.get(0).reference()).isEqualTo("loop level (channel left, frequency 1 kHz)");
    assertThat(drifts.get(0).whose()).isEqualTo(Whose.STATIONS);
    assertThat(drifts.get(0).ofStation().bounds(0.99).contains(-0.1)).isTrue();
  }

  private static RunRecord check(Instant then, double level) {
    Conditions path = Conditions.of("channel", "left");
    List<Event> events =
        List.of(
            new Event.RunStarted(
                then.toString(),
                "attic",
                "bench-1",
                "CS-01",
                "",
                "check standard",
                "A",
                "selfcheck",
                Map.of(),
                List.of(new Event.PlannedStep("loop", path, Duration.ofSeconds(3)))),
            judged(path.with("frequency", "20 kHz"), 5),
            judged(path.with("frequency", "1 kHz"), level),
            new Event.RunEnded(Verdict.PASS, "", List.of()));
    List<Entry> entries = new ArrayList<>();
    for (Event event : events) {
      entries.add(new Entry(then.toString(), entries.size(), then, event));
    }
    return RunRecord.of(entries);
  }

  private static Event judged(Conditions conditions, double level) {
    return new Event.ResultJudged(
        0,
        Measurement.of("loop level", conditions, Quantity.of(level, Unit.DECIBEL)),
        new Judgement(Judgement.Outcome.NOT_JUDGED, null, "there is no limit"));
  }

  @Test
  void tooFewChecksTellNothing() throws IOException {
    Linnets linnets = new Linnets(folder);
    for (int i = 1; i <= 8; i++) {
      linnets.run("pilot", i, 26, -0.5);
      if (i % 4 == 0) {
        linnets.run("", 900, 25.8, -0.5);
      }
    }
    RecordFolder records = new RecordFolder(folder);
    List<StationDrift> drifts =
        StationDrift.of(
            Series.of(Batch.of("pilot", records.runs("pilot").runs())),
            records.ofUnits(Set.of(STANDARD)).runs());
    assertThat(drifts).isEmpty();
    assertThat(DriftText.lines(drifts, Set.of(STANDARD)))
        .anyMatch(line -> line.contains("nothing to compare: fewer than 4 runs of it"));
  }
}
