package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.journal.Fixture;
import kitproof.journal.RandomEvents;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MessagesTest {
  private static final List<Entry> ENTRIES = Fixture.entries();
  private static final Event.RunStarted START = (Event.RunStarted) ENTRIES.get(0).event();

  @Test
  void eachEntryHasItsTopic() {
    assertThat(ENTRIES)
        .extracting(e -> Messages.of(e, START).get(0).topic())
        .containsExactly(
            "kitproof/1/attic/bench-1/run",
            "kitproof/1/attic/bench-1/run",
            "kitproof/1/attic/bench-1/step",
            "kitproof/1/attic/bench-1/result",
            "kitproof/1/attic/bench-1/result",
            "kitproof/1/attic/bench-1/step",
            "kitproof/1/attic/bench-1/step",
            "kitproof/1/attic/bench-1/result",
            "kitproof/1/attic/bench-1/step",
            "kitproof/1/attic/bench-1/run",
            "kitproof/1/attic/bench-1/run",
            "kitproof/1/attic/bench-1/run");
  }

  @Test
  void everyMessageIsCompleteInItself() throws IOException {
    for (long seed = 1; seed <= 3; seed++) {
      List<Entry> run = new RandomEvents(seed).run("r", 200);
      Event.RunStarted start = (Event.RunStarted) run.get(0).event();
      List<String> ids = new ArrayList<>();
      for (Entry entry : run) {
        for (Message message : Messages.of(entry, start)) {
          JsonNode json = json(message);
          assertThat(json.path("schema").asInt()).isEqualTo(1);
          assertThat(json.path("id").asText()).isEqualTo(message.id()).startsWith(entry.id());
          assertThat(json.path("run").asText()).isEqualTo("r");
          assertThat(json.path("unit").asText()).isEqualTo(start.unit());
          assertThat(json.path("time").asText()).isEqualTo(entry.time().toString());
          ids.add(message.id());
        }
      }
      long openings = run.stream().filter(e -> e.event() instanceof Event.OpeningTold).count();
      assertThat(openings).isPositive();
      assertThat(ids)
          .as("seed %d", seed)
          .doesNotHaveDuplicates()
          .hasSize(run.size() + 1 + (int) openings);
    }
  }

  @Test
  void aResultCarriesItsJudgement() throws IOException {
    JsonNode json = json(Messages.of(ENTRIES.get(3), START).get(0));
    assertThat(json.path("event").asText()).isEqualTo("result-judged");
    assertThat(json.path("step").asText()).isEqualTo("rail");
    assertThat(json.at("/measurement/figure/quantity/value").asDouble()).isEqualTo(331.2);
    assertThat(json.at("/measurement/figure/quantity/unit").asText()).isEqualTo("V");
    assertThat(json.at("/judgement/outcome").asText()).isEqualTo("pass");
    assertThat(json.at("/judgement/limit/low/value").asDouble()).isEqualTo(315);
  }

  @Test
  void theVerdictIsToldTwiceOnceRetainedForTheUnit() throws IOException {
    List<Message> messages = Messages.of(ENTRIES.get(11), START);
    assertThat(messages).hasSize(2);
    assertThat(messages.get(0).retained()).isFalse();
    assertThat(json(messages.get(0)).path("verdict").asText()).isEqualTo("fail");
    Message unit = messages.get(1);
    assertThat(unit.topic()).isEqualTo("kitproof/1/attic/unit/linnet-12/LN12-001");
    assertThat(unit.retained()).isTrue();
    assertThat(unit.id()).isEqualTo(Fixture.RUN + "/11/unit");
    assertThat(unit.payload())
        .isEqualTo(
            "{\"schema\":1,\"id\":\"20261125T101500.123Z-LN12-001/11/unit\","
                + "\"time\":\"2026-11-25T10:15:11.123Z\",\"shop\":\"attic\","
                + "\"station\":\"bench-1\",\"run\":\"20261125T101500.123Z-LN12-001\","
                + "\"product\":\"linnet-12\",\"unit\":\"LN12-001\",\"revision\":\"b\","
                + "\"batch\":\"first twelve\",\"verdict\":\"fail\",\"reason\":\"1 result failed\","
                + "\"failed\":[\"frequency response (mode triode, tap 8 ohm)\"]}");
  }

  @Test
  void aLongCurveIsThinnedWithItsEndsKept() throws IOException {
    int size = 20_001;
    double[] x = new double[size];
    double[] y = new double[size];
    for (int i = 0; i < size; i++) {
      x[i] = i;
      y[i] = -i;
    }
    Message message =
        Messages.of(
                new Entry("r", 1, Instant.EPOCH, curve(Curve.of(Unit.HERTZ, x, Unit.DECIBEL, y))),
                START)
            .get(0);
    JsonNode curve = json(message).at("/measurement/figure/curve");
    assertThat(curve.path("x")).hasSize(512);
    assertThat(curve.path("x").get(0).asDouble()).isZero();
    assertThat(curve.path("x").get(511).asDouble()).isEqualTo(20_000);
    assertThat(curve.path("y").get(511).asDouble()).isEqualTo(-20_000);
    assertThat(json(message).path("points").asInt()).isEqualTo(size);
    assertThat(message.bytes().length).isLessThan(64 * 1024);
  }

  @Test
  void aShortCurveIsTold() throws IOException {
    JsonNode json = json(Messages.of(ENTRIES.get(7), START).get(0));
    assertThat(json.at("/measurement/figure/curve/x")).hasSize(3);
    assertThat(json.has("points")).isFalse();
  }

  @ParameterizedTest
  @CsvSource({
    "LN12-001, LN12-001",
    "a/b+c#d, a%2Fb%2Bc%23d",
    "50%, 50%25",
    "'', %",
    "Größe 8 Ω, Größe 8 Ω",
    "\uD83C\uDF9B, \uD83C\uDF9B",
    "\uFFFF, %EF%BF%BF",
  })
  void usersWordsAreOneTopicLevelEach(String serial, String level) {
    assertThat(Topics.unit("s", "p", serial)).isEqualTo("kitproof/1/s/unit/p/" + level);
  }

  @Test
  void controlCharactersAndHalfCharactersAreEncoded() {
    assertThat(Topics.unit("s", "p", "\0\n\u0085\uD83C"))
        .isEqualTo("kitproof/1/s/unit/p/%00%0A%C2%85%3F");
  }

  @Test
  void longWordsGiveTopicsThatMqttAllows() {
    // MQTT 5.0, 1.5.4: at most 65 535 bytes
    String topic = Topics.unit("s".repeat(70_000), "Ω".repeat(70_000), "🎛".repeat(70_000));
    assertThat(topic.getBytes(java.nio.charset.StandardCharsets.UTF_8).length).isLessThan(2_000);
    assertThat(topic.split("/")).hasSize(6);
  }

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
            "running rail not judged",
            "running response not judged",
            "running response fail",
            "online  ");
    assertThat(Status.IDLE.offline(station, "x").payload())
        .isEqualTo(
            "{\"schema\":1,\"id\":\"x\",\"shop\":\"attic\",\"station\":\"bench-1\",\"state\":\"offline\"}");
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
    assertThat(json(status.offline(station, "x")).path("opening")).isEqualTo(after.path("opening"));
    List<Entry> run = new ArrayList<>(ENTRIES.subList(0, 2));
    run.add(told(SafeToOpen.UNKNOWN, "treat as live"));
    JsonNode again = json(Status.after(RunRecord.of(run)).message(station, Outlook.UNKNOWN, "x"));
    assertThat(again.path("state").asText()).isEqualTo("online");
    assertThat(again.at("/opening/safeToOpen").asText()).isEqualTo("unknown");
  }

  /** A run begins, of the fixture's unit. */
  private static JsonNode openingAtTheStartAfter(String unit, SafeToOpen safeToOpen)
      throws IOException {
    Status left =
        new Status(
            null, null, null, -1, null, new Status.Opening(unit, safeToOpen, "treat as live"));
    Status begun = left.after(ENTRIES.get(0)).orElseThrow();
    Message message = begun.message(new Station("attic", "bench-1"), Outlook.UNKNOWN, "x");
    return json(message).path("opening");
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
  void whetherAUnitMayBeOpenedIsRetainedUnderTheUnit() throws IOException {
    Event.RunStarted start = (Event.RunStarted) ENTRIES.get(0).event();
    List<Message> messages = Messages.of(told(SafeToOpen.YES, "below 30 V"), start);
    assertThat(messages).hasSize(2);
    assertThat(messages.get(0).retained()).isFalse();
    Message opening = messages.get(1);
    assertThat(opening.retained()).isTrue();
    assertThat(opening.topic()).isEqualTo("kitproof/1/attic/unit/linnet-12/LN12-001/opening");
    assertThat(json(opening).path("id").asText()).isEqualTo(Fixture.RUN + "/99/opening");
    assertThat(json(opening).path("safeToOpen").asText()).isEqualTo("yes");
    assertThat(json(opening).path("reason").asText()).isEqualTo("below 30 V");
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
                     "state":"running", "time":"2026-11-25T10:15:07.123Z", "planned":12, "pace":2.0,
                     "run":"20261125T101500.123Z-LN12-001", "product":"linnet-12",
                     "unit":"LN12-001", "revision":"b", "batch":"first twelve",
                     "plan":"linnet-12 final test", "started":"2026-11-25T10:15:00.123Z",
                     "steps":2, "expected":8.5, "index":1, "step":"response",
                     "conditions":{"mode":"triode", "tap":"8 ohm"}, "behind":1.5,
                     "last":{"title":"frequency response (mode triode, tap 8 ohm)",
                       "outcome":"fail", "detail":"at 20 Hz: -4.5 dB is below -3 dB"}}
                    """));
  }

  @Test
  void theRecordIsRetainedWithEveryResult() throws IOException {
    Message message = RecordMessage.of(RunRecord.of(ENTRIES), Fixture.RUN + "/11", 12);
    assertThat(message.retained()).isTrue();
    assertThat(message.topic())
        .isEqualTo("kitproof/1/attic/record/linnet-12/LN12-001/" + Fixture.RUN);
    JsonNode json = json(message);
    assertThat(json.path("id").asText()).isEqualTo(Fixture.RUN + "/11/record");
    assertThat(json.path("verdict").asText()).isEqualTo("fail");
    assertThat(json.path("batch").asText()).isEqualTo("first twelve");
    assertThat(json.path("notices").get(0).asText()).isEqualTo("HV rail unknown: treat as live");
    assertThat(json.path("results")).hasSize(3);
    assertThat(json.at("/results/2/step").asText()).isEqualTo("response");
    assertThat(json.at("/results/2/measurement/figure/curve/y/0").asDouble()).isEqualTo(-4.5);
    assertThat(json.at("/results/2/judgement/limit/points/1/at/value").asDouble()).isEqualTo(20000);
  }

  @Test
  void theVerdictIsTheRecordWithoutItsResults() throws IOException {
    RunRecord run = RunRecord.of(ENTRIES);
    Message message = RecordMessage.verdict(run, Fixture.RUN + "/11", 12);
    assertThat(message.retained()).isTrue();
    assertThat(message.kept()).isEqualTo(RecordMessage.KEPT);
    assertThat(message.topic())
        .isEqualTo("kitproof/1/attic/verdict/linnet-12/LN12-001/" + Fixture.RUN);
    com.fasterxml.jackson.databind.node.ObjectNode record =
        (com.fasterxml.jackson.databind.node.ObjectNode)
            json(RecordMessage.of(run, Fixture.RUN + "/11", 12));
    assertThat(record.path("planned").asInt()).isEqualTo(12);
    record.remove("results");
    assertThat(json(message)).isEqualTo(record.put("id", Fixture.RUN + "/11/verdict"));
  }

  @ParameterizedTest
  @CsvSource({"3, 128, 0", "200, 64, 0", "2000, 16, 1500"})
  void aLargeRecordIsThinnedUntilItFits(int curves, int points, int missing) throws IOException {
    double[] axis = java.util.stream.IntStream.range(0, 1000).mapToDouble(i -> i / 3.0).toArray();
    List<Entry> run = new ArrayList<>(ENTRIES.subList(0, 1));
    for (int i = 0; i < curves; i++) {
      run.add(
          new Entry(
              Fixture.RUN,
              run.size(),
              Instant.EPOCH,
              curve(Curve.of(Unit.HERTZ, axis, Unit.DECIBEL, axis))));
    }
    run.add(new Entry(Fixture.RUN, run.size(), Instant.EPOCH, ENTRIES.get(11).event()));
    Message message = RecordMessage.of(RunRecord.of(run), "x", 0);
    assertThat(message.bytes().length).isLessThanOrEqualTo(RecordMessage.MOST_BYTES);
    JsonNode json = json(message);
    assertThat(json.path("results").size()).isEqualTo(curves - missing);
    assertThat(json.path("missing").asInt()).isEqualTo(missing);
    assertThat(json.at("/results/0/measurement/figure/curve/x").size()).isEqualTo(points);
    assertThat(json.at("/results/0/points").asInt()).isEqualTo(1000);
  }

  @Test
  void failuresAreFollowedByEverLongerPausesUpToABound() {
    Backoff backoff = new Backoff(Duration.ofMillis(250), Duration.ofSeconds(8));
    assertThat(List.of(1, 2, 3, 5, 6, 7, 1000))
        .extracting(n -> backoff.after(n).toMillis())
        .containsExactly(250L, 500L, 1000L, 4000L, 8000L, 8000L, 8000L);
  }

  private static Event curve(Curve curve) {
    return new Event.ResultJudged(
        0,
        Measurement.of("frequency response", Conditions.NONE, curve),
        new Judgement(Judgement.Outcome.NOT_JUDGED, null, ""));
  }

  private static JsonNode json(Message message) throws IOException {
    return new ObjectMapper().readTree(message.payload());
  }
}
