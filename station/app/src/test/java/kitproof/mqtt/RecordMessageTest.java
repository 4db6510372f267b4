package kitproof.mqtt;

import static kitproof.mqtt.Payloads.curve;
import static kitproof.mqtt.Payloads.json;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.RunRecord;
import kitproof.value.Curve;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A run as it is retained when it is over. */
class RecordMessageTest {
  private static final List<Entry> ENTRIES = Fixture.entries();

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
  void aSafeStateThatWasNotConfirmedIsToldAfterTheRunToo() throws IOException {
    List<Entry> entries = new ArrayList<>(ENTRIES.subList(0, ENTRIES.size() - 1));
    Entry last = ENTRIES.get(ENTRIES.size() - 1);
    for (boolean confirmed : new boolean[] {true, false}) {
      entries.add(
          new Entry(
              Fixture.RUN,
              entries.size(),
              last.time(),
              new Event.SafeState(
                  "end of the run", confirmed, confirmed ? "" : "K1 did not answer")));
    }
    entries.add(new Entry(Fixture.RUN, entries.size(), last.time(), last.event()));
    RunRecord run = RunRecord.of(entries);
    for (Message message :
        List.of(RecordMessage.verdict(run, "x", 12), RecordMessage.of(run, "x", 12))) {
      assertThat(json(message).path("notices"))
          .extracting(JsonNode::asText)
          .filteredOn(notice -> notice.startsWith("safe state"))
          .containsExactly("safe state not confirmed: K1 did not answer");
    }
  }

  @Test
  void theVerdictIsTheRecordWithoutItsResults() throws IOException {
    RunRecord run = RunRecord.of(ENTRIES);
    Message message = RecordMessage.verdict(run, Fixture.RUN + "/11", 12);
    assertThat(message.retained()).isTrue();
    assertThat(message.kept()).isEqualTo(RecordMessage.KEPT);
    assertThat(message.topic())
        .isEqualTo("kitproof/1/attic/verdict/linnet-12/LN12-001/" + Fixture.RUN);
    ObjectNode record = (ObjectNode) json(RecordMessage.of(run, Fixture.RUN + "/11", 12));
    assertThat(record.path("planned").asInt()).isEqualTo(12);
    record.remove("results");
    assertThat(json(message)).isEqualTo(record.put("id", Fixture.RUN + "/11/verdict"));
  }

  @ParameterizedTest
  @CsvSource({"3, 128, 0", "200, 64, 0", "2000, 16, 1500"})
  void aLargeRecordIsThinnedUntilItFits(int curves, int points, int missing) throws IOException {
    double[] axis = IntStream.range(0, 1000).mapToDouble(i -> i / 3.0).toArray();
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
}
