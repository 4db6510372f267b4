package kitproof.mqtt;

import static kitproof.mqtt.Payloads.curve;
import static kitproof.mqtt.Payloads.json;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.journal.Fixture;
import kitproof.journal.RandomEvents;
import kitproof.value.Curve;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

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

  @Test
  void whetherAUnitMayBeOpenedIsRetainedUnderTheUnit() throws IOException {
    Entry told =
        new Entry(
            Fixture.RUN,
            99,
            ENTRIES.get(0).time(),
            new Event.OpeningTold(SafeToOpen.YES, "below 30 V"));
    List<Message> messages = Messages.of(told, START);
    assertThat(messages).hasSize(2);
    assertThat(messages.get(0).retained()).isFalse();
    Message opening = messages.get(1);
    assertThat(opening.retained()).isTrue();
    assertThat(opening.topic()).isEqualTo("kitproof/1/attic/unit/linnet-12/LN12-001/opening");
    assertThat(json(opening).path("id").asText()).isEqualTo(Fixture.RUN + "/99/opening");
    assertThat(json(opening).path("safeToOpen").asText()).isEqualTo("yes");
    assertThat(json(opening).path("reason").asText()).isEqualTo("below 30 V");
  }
}
