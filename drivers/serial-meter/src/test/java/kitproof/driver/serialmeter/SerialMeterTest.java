package kitproof.driver.serialmeter;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.LineFaultContract;
import kitproof.driver.kit.MeterContract;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.ScriptedLine;
import kitproof.driver.serial.Conversation;
import kitproof.driver.serial.ScriptedLines;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

class SerialMeterTest extends MeterContract implements LineFaultContract<Meter> {
  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final ScriptedLine line = ScriptedLine.ofText(clock, this::instrument);
  private String answer = "+3.31200000E+02";
  private String identity = "Linnet,Bench meter,0001,1.0";
  private String error = "0,\"No error\"";

  private String instrument(String message) {
    return switch (message) {
      case "*IDN?\n" -> identity + "\n";
      case "SYST:ERR?\n" -> {
        String oldest = error;
        error = "0,\"No error\"";
        yield oldest + "\n";
      }
      case "READ?\n", "FETC?\n" -> answer + "\n";
      default -> "";
    };
  }

  private static final MeterSettings SETTINGS =
      MeterSettings.read(
          Nodes.settings(
              Nodes.map(
                  "line",
                  "/dev/ttyUSB0",
                  "timeout",
                  "500 ms",
                  "end",
                  List.of("SYST:LOC"),
                  "functions",
                  Nodes.map(
                      "hv",
                      Map.of("configure", "CONF:VOLT:DC 1000", "unit", "V"),
                      "bias",
                      Map.of(
                          "configure", List.of("CONF:VOLT:DC 1", "VOLT:DC:NPLC 10"),
                          "read", "FETC?",
                          "unit", "A",
                          "scale", "-0.1")))));

  @Override
  public Meter open() throws InstrumentException {
    return SerialMeter.open(
        new Conversation("ttyTest", ScriptedLines.opener(line), clock), SETTINGS);
  }

  @Override
  public ScriptedLine line() {
    return line;
  }

  @Override
  public Object ask(Meter meter) throws InstrumentException {
    return meter.read("hv");
  }

  @Override
  public Object truth(int number) {
    answer = number == 1 ? "+3.31200000E+02" : "0.125";
    return volts(number == 1 ? 331.2 : 0.125);
  }

  @Override
  public int repliesPerAsk() {
    return 2; // the reading and the error queue
  }

  @Override
  public Duration deadline() {
    return Duration.ofMillis(520); // one answer, and the quiet before meeting anew
  }

  private static Reading volts(double value) {
    return new Reading.Value(Quantity.of(value, Unit.VOLT));
  }

  @Test
  void theFunctionsAreThoseOfTheBenchFile() throws Exception {
    try (Meter meter = open()) {
      assertThat(meter.functions())
          .containsExactly(
              new MeterFunction("hv", Unit.VOLT), new MeterFunction("bias", Unit.AMPERE));
    }
  }

  @Test
  void functionAndRangeAreChosenOnlyWhenTheyChange() throws Exception {
    try (Meter meter = open()) {
      meter.read("hv");
      meter.read("hv");
      meter.read("bias");
    }
    assertThat(line.sent())
        .containsExactly(
            "*CLS\n",
            "*IDN?\n",
            "CONF:VOLT:DC 1000\n",
            "SYST:ERR?\n",
            "READ?\n",
            "SYST:ERR?\n",
            "READ?\n",
            "SYST:ERR?\n",
            "CONF:VOLT:DC 1\n",
            "SYST:ERR?\n",
            "VOLT:DC:NPLC 10\n",
            "SYST:ERR?\n",
            "FETC?\n",
            "SYST:ERR?\n",
            "SYST:LOC\n",
            "SYST:ERR?\n");
  }

  @Test
  void aScaleTurnsVoltsOverAResistorIntoAmperes() throws Exception {
    answer = "0.35";
    try (Meter meter = open()) {
      assertThat(meter.read("bias"))
          .isEqualTo(new Reading.Value(Quantity.of(-0.1 * 0.35, Unit.AMPERE)));
    }
  }

  @Test
  void overloadsAndNotNumbersAreNoValuesAndANegativeScaleTurnsTheEndsRound() throws Exception {
    try (Meter meter = open()) {
      answer = "9.9E37";
      assertThat(meter.read("hv")).isEqualTo(new Reading.Overload(false));
      assertThat(meter.read("bias")).isEqualTo(new Reading.Overload(true));
      answer = "-9.90000000E+37";
      assertThat(meter.read("hv")).isEqualTo(new Reading.Overload(true));
      assertThat(meter.read("bias")).isEqualTo(new Reading.Overload(false));
      answer = "9.91E37";
      assertThat(meter.read("hv")).isEqualTo(new Reading.NotANumber());
    }
  }

  @Test
  void anErrorInTheQueueIsAFailureAndFunctionAndRangeAreChosenAgain() throws Exception {
    try (Meter meter = open()) {
      error = "-222,\"Data out of range\"";
      assertThat(assertFails(Kind.PROTOCOL, () -> meter.read("hv")))
          .hasMessageContaining("CONF:VOLT:DC 1000")
          .hasMessageContaining("-222 Data out of range");
      meter.read("hv");
      assertThat(line.sent()).filteredOn(m -> m.startsWith("CONF")).hasSize(2);
    }
  }

  @Test
  void aMeterThatWasAwayIsConfiguredAgain() throws Exception {
    try (Meter meter = open()) {
      meter.read("hv");
      line.failOnce(ScriptedLine.Fault.LOST, 0);
      assertFails(Kind.UNREACHABLE, () -> meter.read("hv"));
      line.mend();
      meter.read("hv");
      assertThat(line.sent()).filteredOn(m -> m.startsWith("CONF")).hasSize(2);
    }
  }

  @Test
  void aMeterThatIsStillTheSameIsRecognisedWithOneQuestion() throws Exception {
    try (Meter meter = open()) {
      meter.read("hv");
      int before = line.sent().size();
      meter.recognise();
      meter.read("hv");
      assertThat(line.sent().subList(before, line.sent().size()))
          .containsExactly("*IDN?\n", "READ?\n", "SYST:ERR?\n");
    }
  }

  @Test
  void anotherMeterInItsPlaceIsNoticedThoughNoAnswerWasLostAndIsNotReadFrom() throws Exception {
    try (Meter meter = open()) {
      meter.read("hv");
      identity = "Linnet,Bench meter,0002,1.0";
      assertThat(assertFails(Kind.PROTOCOL, meter::recognise))
          .hasMessage(
              "another instrument answers: \"Linnet,Bench meter,0002,1.0\","
                  + " not Linnet Bench meter 0001 1.0");
      assertFails(Kind.PROTOCOL, () -> meter.read("hv"));
      identity = "Linnet,Bench meter,0001,1.0";
      meter.recognise();
      assertThat(meter.read("hv")).isEqualTo(volts(331.2));
    }
  }

  @Test
  void aMeterThatDoesNotSayWhoItIsIsNotRecognised() throws Exception {
    try (Meter meter = open()) {
      line.failOnce(ScriptedLine.Fault.SILENT, 0);
      assertFails(Kind.TIMEOUT, meter::recognise);
      line.failOnce(ScriptedLine.Fault.GARBLED, 0);
      assertFails(Kind.PROTOCOL, meter::recognise);
      assertThat(meter.read("hv")).isEqualTo(volts(331.2));
    }
  }

  @Test
  void anErrorMessageNamesTheMeterTheQuestionAndTheLine() throws Exception {
    try (Meter meter = open()) {
      meter.read("hv");
      line.failOnce(ScriptedLine.Fault.SILENT, 0);
      assertThat(assertFails(Kind.TIMEOUT, () -> meter.read("hv")))
          .hasMessage("Linnet Bench meter 0001 1.0, READ?: no answer from ttyTest within 500 ms");
    }
  }
}
