package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Users' words as levels of topics. */
class TopicsTest {
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
    assertThat(topic.getBytes(StandardCharsets.UTF_8).length).isLessThan(2_000);
    assertThat(topic.split("/")).hasSize(6);
  }
}
