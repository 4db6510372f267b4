package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class EventCodecTest {
  private static final Instant NOON = Instant.parse("2026-11-25T12:00:00Z");

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void everyEventReadsBackEqual(long seed) throws IOException {
    for (Entry entry : new RandomEvents(seed).run("r", 400)) {
      String line = EventCodec.write(entry);
      assertThat(line).doesNotContain("\n").doesNotContain("\r");
      assertThat(EventCodec.read(line)).isEqualTo(entry);
    }
  }

  @Test
  void theGeneratorMakesEveryKindOfEvent() {
    assertThat(
            new RandomEvents(1)
                .run("r", 400).stream()
                    .map(e -> (Object) e.event().getClass())
                    .collect(Collectors.toSet()))
        .containsExactlyInAnyOrder((Object[]) Event.class.getPermittedSubclasses());
  }

  @Test
  void formsAreTheDocumentedOnes() throws IOException {
    Event result =
        new Event.ResultJudged(
            3,
            Measurement.of(
                "hv", Conditions.of("tap", "8 ohm").with("mode", "triode"), q(330.25, Unit.VOLT)),
            new Judgement(
                Judgement.Outcome.GUARD_BAND, new Limit.Scalar(q(300, Unit.VOLT), null), "near"));
    assertThat(json(result))
        .isEqualTo(
            json(
                """
                {"type":"result-judged","index":3,
                 "measurement":{"name":"hv","conditions":{"tap":"8 ohm","mode":"triode"},
                   "figure":{"type":"quantity","quantity":{"value":330.25,"unit":"V"}}},
                 "judgement":{"outcome":"in the guard band",
                   "limit":{"type":"scalar","low":{"value":300.0,"unit":"V"},"high":null},
                   "detail":"near"}}"""));
    Curve curve = Curve.of(Unit.HERTZ, new double[] {20, 1000}, Unit.DECIBEL, new double[] {-1, 0});
    assertThat(
            json(new Event.ResultJudged(0, Measurement.of("f", Conditions.NONE, curve), unjudged()))
                .at("/measurement/figure/curve"))
        .isEqualTo(
            json("{\"xUnit\":\"Hz\",\"x\":[20.0,1000.0],\"yUnit\":\"dB\",\"y\":[-1.0,0.0]}"));
    assertThat(EventCodec.write(new Entry("r", 0, NOON, finished(Duration.ofMillis(90_500)))))
        .isEqualTo(
            "{\"schema\":1,\"run\":\"r\",\"sequence\":0,\"time\":\"2026-11-25T12:00:00Z\","
                + "\"event\":{\"type\":\"step-finished\",\"index\":0,\"step\":\"s\","
                + "\"conditions\":{},\"outcome\":\"passed\",\"reason\":\"\",\"took\":90.5}}");
  }

  @Test
  void theFixtureOfFormatVersion1IsReadForEver() throws IOException {
    List<Entry> entries = new ArrayList<>();
    for (String line : Files.readAllLines(Path.of("src/test/resources/journal-format-1.jsonl"))) {
      entries.add(EventCodec.read(line));
    }
    assertThat(entries).isEqualTo(Fixture.entries());
  }

  @Test
  void unknownFieldsArePassedOver() throws IOException {
    assertThat(
            EventCodec.read(
                "{\"schema\":1,\"new\":[1],\"run\":\"r\",\"sequence\":4,"
                    + "\"time\":\"2026-11-25T12:00:00Z\","
                    + "\"event\":{\"type\":\"notice\",\"colour\":{\"a\":1},\"text\":\"hot\"}}"))
        .isEqualTo(new Entry("r", 4, NOON, new Event.Notice("hot")));
  }

  @Test
  void anUnknownTypeIsRefusedByName() {
    assertThatThrownBy(() -> EventCodec.read(line(1, "{\"type\":\"step-paused\",\"index\":1}")))
        .isInstanceOf(EventFormatException.class)
        .hasMessageContaining("unknown type \"step-paused\"");
  }

  @Test
  void aNewerSchemaIsRefusedEvenIfNothingElseIsUnderstood() {
    assertThatThrownBy(() -> EventCodec.read(line(2, "{\"kind\":7}")))
        .isInstanceOf(EventFormatException.class)
        .hasMessageContaining("schema 2, but this program reads 1 to 1");
    assertThatThrownBy(() -> EventCodec.read(line(2, "{\"type\":\"notice\",\"text\":\"\"}")))
        .hasMessageContaining("schema 2");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "{\"type\":\"notice\"}",
        "{\"type\":\"notice\",\"text\":\"\",\"text\":7e}",
        "{\"type\":\"step-finished\",\"index\":null}",
        "{\"type\":\"result-judged\",\"index\":0,\"measurement\":{\"name\":\"a\",\"conditions\":{},"
            + "\"figure\":{\"type\":\"quantity\",\"quantity\":{\"value\":1,\"unit\":\"furlong\"}}},"
            + "\"judgement\":{\"outcome\":\"pass\",\"limit\":null,\"detail\":\"\"}}",
        "null"
      })
  void whatIsNoEntryIsRefused(String event) {
    assertThatThrownBy(() -> EventCodec.read(line(1, event))).isInstanceOf(IOException.class);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "{\"schema\":1,\"run\":\"r\",\"sequ", "\0\0\0\0", "[]x"})
  void whatIsNoJsonIsNotTakenForAnotherFormat(String torn) {
    assertThatThrownBy(() -> EventCodec.read(torn))
        .isInstanceOf(IOException.class)
        .isNotInstanceOf(EventFormatException.class);
  }

  private static String line(int schema, String event) {
    return "{\"schema\":"
        + schema
        + ",\"run\":\"r\",\"sequence\":0,\"time\":\"2026-11-25T12:00:00Z\",\"event\":"
        + event
        + "}";
  }

  private static Event finished(Duration took) {
    return new Event.StepFinished(0, "s", Conditions.NONE, StepOutcome.PASSED, "", took);
  }

  private static Judgement unjudged() {
    return new Judgement(Judgement.Outcome.NOT_JUDGED, null, "no limit");
  }

  private static Quantity q(double value, Unit unit) {
    return new Quantity(value, unit);
  }

  private static JsonNode json(Event event) throws IOException {
    return json(EventCodec.tree(event).toString());
  }

  private static JsonNode json(String text) throws IOException {
    return new ObjectMapper().readTree(text);
  }
}
