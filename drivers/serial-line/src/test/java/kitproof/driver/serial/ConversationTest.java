package kitproof.driver.serial;

import static kitproof.driver.kit.InstrumentContract.assertFails;
import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.ScriptedLine;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class ConversationTest {
  private static final Duration PATIENCE = Duration.ofSeconds(1);
  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private String reply = "12\n34\n";
  private final ScriptedLine line = ScriptedLine.ofText(clock, sent -> reply);
  private final Conversation conversation =
      new Conversation("ttyTest", ScriptedLines.opener(line), clock);

  @BeforeEach
  void open() throws Exception {
    conversation.open(PATIENCE);
  }

  private void ask() throws Exception {
    conversation.ask("x\n".getBytes(StandardCharsets.US_ASCII));
  }

  private String hear() throws kitproof.driver.InstrumentException {
    return new String(conversation.receiveUntil((byte) '\n', PATIENCE), StandardCharsets.US_ASCII);
  }

  @Test
  void answersThatComeTogetherAreTakenOneByOne() throws Exception {
    ask();
    assertThat(hear()).isEqualTo("12");
    assertThat(hear()).isEqualTo("34");
    assertFails(Kind.TIMEOUT, this::hear);
  }

  @Test
  void whatWasNotTakenIsGoneWithTheNextQuestion() throws Exception {
    ask();
    assertThat(hear()).isEqualTo("12");
    reply = "56\n";
    ask();
    assertThat(hear()).isEqualTo("56");
  }

  @Test
  void noAnswerIsATimeoutExactlyAtTheDeadline() throws Exception {
    line.failAlways(ScriptedLine.Fault.SILENT);
    ask();
    assertThat(assertFails(Kind.TIMEOUT, this::hear))
        .hasMessage("no answer from ttyTest within 1000 ms");
    assertThat(clock.nanos()).isEqualTo(PATIENCE.toNanos());
  }

  @Test
  void halfAnAnswerIsATimeoutThatSaysSoAndIsNotKept() throws Exception {
    reply = "12345678\n";
    line.failOnce(ScriptedLine.Fault.HALF, 0);
    ask();
    assertThat(assertFails(Kind.TIMEOUT, this::hear))
        .hasMessage("only 4 bytes of an answer from ttyTest within 1000 ms");
    ask();
    assertThat(hear()).isEqualTo("12345678");
  }

  @Test
  void bytesAreCountedOut() throws Exception {
    reply = "abcdef";
    ask();
    assertThat(conversation.receiveExactly(2, PATIENCE)).isEqualTo(new byte[] {'a', 'b'});
    assertThat(conversation.receiveExactly(4, PATIENCE)).hasSize(4);
    assertFails(Kind.TIMEOUT, () -> conversation.receiveExactly(1, PATIENCE));
  }

  @Test
  void anEndlessAnswerIsAProtocolFailure() throws Exception {
    reply = "x".repeat(70_000);
    ask();
    assertFails(Kind.PROTOCOL, this::hear);
  }

  @Test
  void discardingWaitsUntilTheLineIsQuiet() throws Exception {
    line.failOnce(ScriptedLine.Fault.LATE, 0);
    ask();
    conversation.discard(ScriptedLine.LATENESS.plusSeconds(1), ScriptedLine.LATENESS);
    assertThat(clock.nanos())
        .as("the late answer was dropped, then it was quiet")
        .isEqualTo(ScriptedLine.LATENESS.multipliedBy(2).plusSeconds(1).toNanos());
    assertFails(Kind.TIMEOUT, this::hear);
  }

  @Test
  void aLostLineIsLetGoAndOpenedAgain() throws Exception {
    line.failAlways(ScriptedLine.Fault.LOST);
    ask();
    assertFails(Kind.UNREACHABLE, this::hear);
    assertThat(conversation.isOpen()).isFalse();
    assertThat(line.isOpen()).isFalse();
    assertFails(Kind.UNREACHABLE, () -> conversation.open(PATIENCE));
    line.mend();
    conversation.open(PATIENCE);
    ask();
    assertThat(hear()).isEqualTo("12");
  }

  @Test
  void aClosedConversationIsNotOpenedAgain() {
    conversation.close();
    conversation.close();
    assertThat(line.isOpen()).isFalse();
    assertFails(Kind.UNREACHABLE, () -> conversation.open(PATIENCE));
    assertFails(Kind.UNREACHABLE, this::hear);
  }
}
