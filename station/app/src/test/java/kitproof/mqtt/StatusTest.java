package kitproof.mqtt;

import static kitproof.mqtt.Payloads.json;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.calibration.Standing;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.journal.Fixture;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** What is retained of a station, and of what stands on it. */
class StatusTest {
  private static final List<Entry> ENTRIES = Fixture.entries();

  @Test
  void theStatusFollowsARun() throws IOException {
    Station station = new Station("attic", "bench-1");
    Status status = Status.IDLE;
    List<String> told = new ArrayList<>();
    for (Entry entry : ENTRIES) {
      var next = status.after(entry);
      if (next.isPresent()) {
        status = next.get();
        Message message = status.message(station, Outlook.UNKNOWN, entry.id() + "/status");
        assertThat(message.retained()).isTrue();
        assertThat(message.topic()).isEqualTo("kitproof/1/attic/bench-1/status");
        JsonNode json = json(message);
        told.add(
            json.path("state").asText()
                + " "
                + json.path("step").asText()
                + " "
                + json.at("/last/outcome").asText());
      }
    }
    assertThat(told)
        .containsExactly(
            "running  ",
            "running rail ",
            "running rail pass",
            "running rail pass",
            "running response pass",
            "running response fail",
            "online  ");
    assertThat(Status.IDLE.offline(station, "x", Instant.EPOCH).payload())
        .isEqualTo(
            "{\"schema\":1,\"id\":\"x\",\"shop\":\"attic\",\"station\":\"bench-1\",\"state\":\"offline\",\"time\":\"1970-01-01T00:00:00Z\"}");
  }

  private static Entry told(SafeToOpen safeToOpen, String reason) {
    return new Entry(
        Fixture.RUN, 99, ENTRIES.get(0).time(), new Event.OpeningTold(safeToOpen, reason));
  }

  @Test
  void whetherAUnitMayBeOpenedIsInTheStatusAlsoAfterTheRunAndAfterAStart() throws IOException {
    Station station = new Station("attic", "bench-1");
    Status status = Status.IDLE;
    for (Entry entry : ENTRIES) {
      status = status.after(entry).orElse(status);
      if (entry.sequence() == 1) {
        assertThat(json(status.message(station, Outlook.UNKNOWN, "x")).has("opening")).isFalse();
        status = status.after(told(SafeToOpen.NO, "mains is applied")).orElseThrow();
      }
    }
    JsonNode after = json(status.message(station, Outlook.UNKNOWN, "x"));
    assertThat(after.path("state").asText()).isEqualTo("online");
    assertThat(after.path("opening").toString())
        .isEqualTo("{\"unit\":\"LN12-001\",\"safeToOpen\":\"no\",\"reason\":\"mains is applied\"}");
    assertThat(json(status.offline(station, "x", Instant.EPOCH)).path("opening"))
        .isEqualTo(after.path("opening"));
    List<Entry> run = new ArrayList<>(ENTRIES.subList(0, 2));
    run.add(told(SafeToOpen.UNKNOWN, "treat as live"));
    JsonNode again = json(Status.after(RunRecord.of(run)).message(station, Outlook.UNKNOWN, "x"));
    assertThat(again.path("state").asText()).isEqualTo("online");
    assertThat(again.at("/opening/safeToOpen").asText()).isEqualTo("unknown");
  }

  @Test
  void whileTheUnitDischargesTheStatusSaysTheVoltsUntilItIsSafe() throws IOException {
    Station station = new Station("attic", "bench-1");
    Status status = Status.IDLE.after(ENTRIES.get(0)).orElseThrow();
    status = status.after(told(SafeToOpen.NO, "mains is applied")).orElseThrow();
    Entry read =
        new Entry(
            Fixture.RUN,
            100,
            ENTRIES.get(0).time(),
            new Event.RailRead(Quantity.of(212, Unit.VOLT)));
    status = status.after(read).orElseThrow();
    assertThat(status.message(station, Outlook.UNKNOWN, "x").retained()).isTrue();
    assertThat(json(status.message(station, Outlook.UNKNOWN, "x")).path("opening").toString())
        .isEqualTo(
            "{\"unit\":\"LN12-001\",\"safeToOpen\":\"no\","
                + "\"reason\":\"mains is off; the HV rail holds 212 V\"}");
    Status safe = status.after(told(SafeToOpen.YES, "below 30 V")).orElseThrow();
    assertThat(safe.after(read).orElseThrow().opening()).isEqualTo(safe.opening());
  }

  /** A run begins, of the fixture's unit. */
  private static JsonNode openingAtTheStartAfter(String unit, SafeToOpen safeToOpen)
      throws IOException {
    Status left =
        new Status(
            null,
            null,
            null,
            -1,
            null,
            new Status.Opening(unit, safeToOpen, "treat as live"),
            null);
    Status begun = left.after(ENTRIES.get(0)).orElseThrow();
    Message message = begun.message(new Station("attic", "bench-1"), Outlook.UNKNOWN, "x");
    return json(message).path("opening");
  }

  @Test
  void aRunOnAnUncalibratedBenchSaysSoAsLongAsItGoesOn() throws IOException {
    String run = ENTRIES.get(0).run();
    Status status = Status.IDLE.after(ENTRIES.get(0)).orElseThrow();
    Station station = new Station("attic", "bench-1");
    assertThat(json(status.message(station, Outlook.UNKNOWN, "x")).has("calibrated")).isFalse();
    Instant then = ENTRIES.get(0).time();
    String told = Standing.uncalibrated("there is none").told().get(0);
    status =
        status
            .after(new Entry(run, 1, then, new Event.CalibrationTold(false, told, List.of())))
            .orElseThrow();
    status = status.after(ENTRIES.get(1)).orElse(status);
    assertThat(
            json(status.message(station, Outlook.UNKNOWN, "x")).path("calibrated").asBoolean(true))
        .isFalse();
    status = status.after(ENTRIES.get(0)).orElseThrow();
    assertThat(json(status.message(station, Outlook.UNKNOWN, "x")).has("calibrated")).isFalse();
  }

  @Test
  void aResultThatNothingJudgesIsNotTheLatestJudgement() throws IOException {
    Status status = Status.IDLE;
    for (Entry entry : ENTRIES.subList(0, 8)) {
      status = status.after(entry).orElse(status);
    }
    Entry last = ENTRIES.get(7);
    Event.ResultJudged unjudged =
        new Event.ResultJudged(
            1,
            Measurement.of("phase", Conditions.NONE, Quantity.of(3, Unit.DECIBEL)),
            new Judgement(Judgement.Outcome.NOT_JUDGED, null, "there is no limit"));
    status = status.after(new Entry(last.run(), 8, last.time(), unjudged)).orElseThrow();
    JsonNode told = json(status.message(new Station("attic", "bench-1"), Outlook.UNKNOWN, "x"));
    assertThat(told.at("/last/title").asText()).startsWith("frequency response");
  }

  @Test
  void theStartOfARunDoesNotTakeBackThatSomethingMayBeLive() throws IOException {
    assertThat(openingAtTheStartAfter("LN12-001", SafeToOpen.UNKNOWN).toString())
        .isEqualTo(
            "{\"unit\":\"LN12-001\",\"safeToOpen\":\"unknown\",\"reason\":\"treat as live\"}");
    assertThat(openingAtTheStartAfter("LN12-777", SafeToOpen.NO).toString())
        .as("another unit is named where only the reason is shown")
        .isEqualTo(
            "{\"unit\":\"LN12-777\",\"safeToOpen\":\"no\",\"reason\":\"LN12-777: treat as live\"}");
    assertThat(openingAtTheStartAfter("LN12-001", SafeToOpen.YES).isMissingNode()).isTrue();
  }

  @Test
  void aStationThatIsGoneWithoutAWordLeavesWhatMayBeLive() throws IOException {
    JsonNode will = json(Status.lastWill(new Station("attic", "bench-1"), "x"));
    assertThat(will.path("state").asText()).isEqualTo("offline");
    assertThat(will.at("/opening/safeToOpen").asText()).isEqualTo("unknown");
    assertThat(will.at("/opening/reason").asText()).contains("treat what stands on it as live");
  }

  @Test
  void theStatusSaysAllThatAReaderWhoComesLateNeeds() throws IOException {
    Status status = Status.IDLE;
    for (Entry entry : ENTRIES.subList(0, 8)) {
      status = status.after(entry).orElse(status);
    }
    Message message =
        status.message(new Station("attic", "bench-1"), new Outlook(12, 2), "x/status");
    assertThat(json(message))
        .isEqualTo(
            new ObjectMapper()
                .readTree(
                    """
                    {"schema":1, "id":"x/status", "shop":"attic", "station":"bench-1",
                     "state":"running", "time":"2026-11-25T10:15:07.123Z", "planned":12,
                     "simulated":true, "pace":2.0,
                     "run":"20261125T101500.123Z-LN12-001", "product":"linnet-12",
                     "unit":"LN12-001", "revision":"b", "batch":"first twelve",
                     "plan":"linnet-12 final test", "started":"2026-11-25T10:15:00.123Z",
                     "steps":2, "expected":8.5, "index":1, "step":"response",
                     "conditions":{"mode":"triode", "tap":"8 ohm"}, "behind":1.5,
                     "last":{"title":"frequency response (mode triode, tap 8 ohm)",
                       "outcome":"fail", "detail":"at 20 Hz: -4.5 dB is below -3 dB"}}
                    """));
  }
}
