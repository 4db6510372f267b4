package kitproof.driver.serial;

import static kitproof.driver.kit.InstrumentContract.assertFails;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.ScriptedLine;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;
import org.junit.jupiter.params.provider.CsvSource;

class ScpiSessionTest {
  private static final ScpiSettings SETTINGS =
      new ScpiSettings(
          ScpiSettings.Terminator.LF, Duration.ofSeconds(1), "SYST:ERR?", List.of("SYST:REM"));

  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final Deque<String> errors = new ArrayDeque<>();
  private String identity = "Linnet,Bench meter,0,1.02";
  private final ScriptedLine line = ScriptedLine.ofText(clock, this::instrument);

  private String instrument(String message) {
    return switch (message) {
      case "*IDN?\n" -> identity + "\r\n";
      case "SYST:ERR?\n" -> (errors.isEmpty() ? "0,\"No error\"" : errors.remove()) + "\n";
      case "*CLS\n" -> {
        errors.clear();
        yield "";
      }
      case "VALUE?\n" -> "42\n";
      default -> "";
    };
  }

  private ScpiSession open() throws InstrumentException {
    return ScpiSession.open(
        new Conversation("ttyTest", ScriptedLines.opener(line), clock), SETTINGS);
  }

  @Test
  void meetsTheInstrumentThenSaysWhatIsToBeSaidFirst() throws Exception {
    ScpiSession session = open();
    assertThat(session.identity()).isEqualTo(new Identity("Linnet", "Bench meter", "", "1.02"));
    assertThat(line.sent()).containsExactly("*CLS\n", "*IDN?\n", "SYST:REM\n", "SYST:ERR?\n");
  }

  /** Fields after IEEE 488.2-1992, 10.14 (from memory); the names are made up. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "ACME,AMP-LOAD-8,00042,1.02|ACME|AMP-LOAD-8|00042|1.02",
        "ACME,AMP-LOAD-8,0,0|ACME|AMP-LOAD-8|''|''",
        "ACME , AMP-LOAD-8 , 7 , 1.0,rev B|ACME|AMP-LOAD-8|7|1.0,rev B"
      })
  void anIdentityHasFourFields(
      String answer, String maker, String model, String serial, String firmware) throws Exception {
    identity = answer;
    assertThat(open().identity()).isEqualTo(new Identity(maker, model, serial, firmware));
  }

  @Test
  void twoFieldsAreNoIdentity() {
    identity = "ACME,AMP-LOAD-8";
    assertThat(assertFails(Kind.PROTOCOL, this::open)).hasMessageContaining("ACME,AMP-LOAD-8");
  }

  @Test
  void everyEntryOfTheErrorQueueIsToldAndTheQueueIsEmptyAfterwards() throws Exception {
    ScpiSession session = open();
    errors.addAll(List.of("-113,\"Undefined header\"", "+101,\"Fuse; blown\""));
    assertThat(assertFails(Kind.PROTOCOL, () -> session.command("WHAT 1")))
        .hasMessage(
            "Linnet Bench meter 1.02 reports after WHAT 1: -113 Undefined header; 101 Fuse; blown");
    assertThat(session.query("VALUE?")).isEqualTo("42");
  }

  @Test
  void anErrorAfterAnAnswerMakesTheAnswerWorthless() throws Exception {
    ScpiSession session = open();
    errors.add("-230,\"Data corrupt or stale\"");
    assertFails(Kind.PROTOCOL, () -> session.query("VALUE?"));
  }

  @Test
  void anInstrumentThatIsNeverWithoutErrorsIsGivenUp() throws Exception {
    ScpiSession session = open();
    for (int i = 0; i < 100; i++) {
      errors.add("-350,\"Queue overflow\"");
    }
    assertFails(Kind.PROTOCOL, () -> session.command("X"));
    assertThat(session.query("VALUE?")).as("after *CLS").isEqualTo("42");
  }

  @Test
  void anotherInstrumentOnTheSameLineIsNotAccepted() throws Exception {
    ScpiSession session = open();
    line.failOnce(ScriptedLine.Fault.LOST, 0);
    assertFails(Kind.UNREACHABLE, () -> session.query("VALUE?"));
    line.mend();
    identity = "Linnet,Other meter,0,1.0";
    for (int i = 0; i < 2; i++) {
      assertThat(assertFails(Kind.PROTOCOL, () -> session.query("VALUE?")))
          .hasMessageContaining("another instrument answers")
          .hasMessageContaining("Other meter");
    }
    identity = "Linnet,Bench meter,0,1.02";
    assertThat(session.query("VALUE?")).isEqualTo("42");
    assertThat(session.meetings()).isEqualTo(2);
  }

  @ParameterizedTest
  @CsvFileSource(resources = "scpi_errors.csv")
  void everyNumberOfTheStandardIsUnderstood(int number, String text) {
    assertThat(ScpiError.parse(number + ",\"" + text + "\""))
        .isEqualTo(new ScpiError(number, text));
    assertThat(ScpiError.parse(number + ",\"" + text + ";Slot 3, relay 2\""))
        .isEqualTo(new ScpiError(number, text + ";Slot 3, relay 2"));
  }

  /** "0" and "+0" are both seen (SCPI-1999 Volume 2, 21.8; from memory). */
  @Test
  void noErrorIsUnderstoodInBothSpellingsAndNonsenseIsNot() {
    assertThat(ScpiError.parse("0,\"No error\"")).isEqualTo(new ScpiError(0, "No error"));
    assertThat(ScpiError.parse("+0,\"No error\"")).isEqualTo(new ScpiError(0, "No error"));
    for (String nonsense : new String[] {"", "0", "+3.1E+02", "No error", "999999,\"x\"", "0,No"}) {
      assertThat(ScpiError.parse(nonsense)).as(nonsense).isNull();
    }
  }
}
