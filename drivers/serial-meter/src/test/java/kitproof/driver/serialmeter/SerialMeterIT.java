package kitproof.driver.serialmeter;

import static kitproof.driver.kit.InstrumentContract.assertFails;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.RealClock;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * The meter as a bench opens it, over pseudo-terminals and TCP, with a SCPI peer at the far end.
 */
@Timeout(120)
class SerialMeterIT {
  private PtyPair cable;
  private ScpiPeer peer;

  @BeforeEach
  void plugIn() {
    cable = PtyPair.open();
    peer = ScpiPeer.onPty(cable.far());
  }

  @AfterEach
  void tidy() {
    peer.close();
    cable.close();
  }

  private static Meter open(String line, Object... more) throws InstrumentException {
    Map<String, Object> settings =
        Nodes.map(
            "line",
            line,
            "timeout",
            "1 s",
            "start",
            "SYST:REM",
            "end",
            "SYST:LOC",
            "functions",
            Nodes.map(
                "dc-voltage",
                Map.of("configure", "CONF:VOLT:DC 1000", "unit", "V"),
                "ac-voltage",
                Map.of("configure", "CONF:VOLT:AC 10", "unit", "V"),
                "wrong",
                Map.of("configure", "CONF:VOLT:DC 1E12", "unit", "V")));
    settings.putAll(Nodes.map(more));
    return (Meter)
        new SerialMeterProvider()
            .open(InstrumentKind.METER, Nodes.settings(settings), new FakeContext(new RealClock()));
  }

  private static Reading volts(double value) {
    return new Reading.Value(Quantity.of(value, Unit.VOLT));
  }

  @Test
  void readsWhatThePeerHasAndTellsOverloadAndNotANumberFromValues() throws Exception {
    try (Meter meter = open(cable.near())) {
      assertThat(meter.identity()).hasToString("Linnet Bench meter 0001 1.0");
      peer.value("VOLT:DC", 331.25);
      peer.value("VOLT:AC", 0.45);
      assertThat(meter.read("dc-voltage")).isEqualTo(volts(331.25));
      assertThat(meter.read("ac-voltage")).isEqualTo(volts(0.45));
      peer.value("VOLT:DC", -2000);
      assertThat(meter.read("dc-voltage")).isEqualTo(new Reading.Overload(true));
      peer.notANumber("VOLT:DC");
      assertThat(meter.read("dc-voltage")).isEqualTo(new Reading.NotANumber());
      assertThat(assertFails(Kind.PROTOCOL, () -> meter.read("wrong")))
          .hasMessageContaining("-222 Data out of range");
      peer.value("VOLT:DC", 1);
      assertThat(meter.read("dc-voltage")).isEqualTo(volts(1));
    }
    assertThat(peer.received()).contains("SYST:REM").endsWith("\"SYST:LOC\", \"SYST:ERR?\"]");
  }

  @Test
  void aLateAnswerIsNeverTakenForTheNextReading() throws Exception {
    try (Meter meter = open(cable.near())) {
      peer.value("VOLT:DC", 1);
      meter.read("dc-voltage");
      peer.failOnce(ScpiPeer.Fault.LATE, 0, 1.3);
      assertFails(Kind.TIMEOUT, () -> meter.read("dc-voltage"));
      for (int i = 2; i < 40; i++) {
        peer.value("VOLT:DC", i);
        assertThat(meter.read("dc-voltage")).isEqualTo(volts(i));
      }
    }
  }

  @Test
  void garbledHalfAndMissingAnswersAreToldApartAndTheNextReadingIsRight() throws Exception {
    try (Meter meter = open(cable.near())) {
      meter.read("dc-voltage");
      int value = 100;
      for (Object[] fault :
          new Object[][] {
            {ScpiPeer.Fault.GARBLED, Kind.PROTOCOL},
            {ScpiPeer.Fault.HALF, Kind.TIMEOUT},
            {ScpiPeer.Fault.SILENT, Kind.TIMEOUT}
          }) {
        for (int skip = 0; skip < 2; skip++) {
          peer.failOnce((ScpiPeer.Fault) fault[0], skip, 0);
          assertFails((Kind) fault[1], () -> meter.read("dc-voltage"));
          peer.value("VOLT:DC", ++value);
          assertThat(meter.read("dc-voltage")).isEqualTo(volts(value));
        }
      }
    }
  }

  @Test
  void aSlowAnswerIsWaitedFor() throws Exception {
    try (Meter meter = open(cable.near())) {
      peer.value("VOLT:DC", 12.5);
      meter.read("dc-voltage");
      peer.failOnce(ScpiPeer.Fault.SLOW, 0, 0.5);
      assertThat(meter.read("dc-voltage")).isEqualTo(volts(12.5));
    }
  }

  @Test
  void aSilentMeterCannotBeOpenedAndLeavesThePortFree() throws Exception {
    peer.failAlways(ScpiPeer.Fault.SILENT);
    assertThat(assertFails(Kind.TIMEOUT, () -> open(cable.near()).close()))
        .hasMessageContaining(cable.near());
    peer.failOnce(ScpiPeer.Fault.NONE, 0, 0);
    open(cable.near()).close();
  }

  @Test
  void unpluggingDuringAReadingIsUnreachableAndPluggingInAgainIsEnough() throws Exception {
    try (Meter meter = open(cable.near(), "timeout", "20 s")) {
      meter.read("dc-voltage");
      peer.failOnce(ScpiPeer.Fault.SILENT, 0, 0);
      CompletableFuture<InstrumentException> reading = failureInBackground(meter);
      peer.peer().await("reading under way", () -> peer.received().contains("READ?"));
      cable.unplug();
      assertThat(reading.get(5, TimeUnit.SECONDS).kind()).isEqualTo(Kind.UNREACHABLE);
      assertFails(Kind.UNREACHABLE, () -> meter.read("dc-voltage"));
      peer.close();
      cable.plug();
      peer = ScpiPeer.onPty(cable.far());
      peer.value("VOLT:DC", 7);
      assertThat(meter.read("dc-voltage")).isEqualTo(volts(7));
    }
  }

  @Test
  void anotherMeterUnderTheSameNameIsNotAccepted() throws Exception {
    try (Meter meter = open(cable.near(), "end", java.util.List.of())) {
      meter.read("dc-voltage");
      peer.close();
      cable.unplug();
      assertFails(Kind.UNREACHABLE, () -> meter.read("dc-voltage"));
      cable.plug();
      peer = ScpiPeer.onPty(cable.far());
      peer.identity("Linnet,Bench meter,0002,1.0");
      assertThat(assertFails(Kind.PROTOCOL, () -> meter.read("dc-voltage")))
          .hasMessageContaining("another instrument answers")
          .hasMessageContaining("0002");
    }
  }

  @Test
  void closingFromAnotherThreadFreesAReadingUnderWay() throws Exception {
    Meter meter = open(cable.near(), "timeout", "20 s");
    meter.read("dc-voltage");
    peer.received();
    peer.failOnce(ScpiPeer.Fault.SILENT, 0, 0);
    CompletableFuture<InstrumentException> reading = failureInBackground(meter);
    peer.peer().await("reading under way", () -> peer.received().contains("READ?"));
    meter.close();
    assertThat(reading.get(5, TimeUnit.SECONDS).kind()).isEqualTo(Kind.UNREACHABLE);
  }

  @Test
  void answersThatEndWithCarriageReturnAndLineFeedAreUnderstood() throws Exception {
    peer.close();
    cable.unplug();
    cable.plug();
    peer = ScpiPeer.onPtyWithCrLf(cable.far());
    peer.value("VOLT:DC", 3.5);
    for (String terminator : new String[] {"lf", "crlf"}) {
      try (Meter meter = open(cable.near(), "terminator", terminator)) {
        assertThat(meter.read("dc-voltage")).isEqualTo(volts(3.5));
      }
    }
  }

  @Test
  void readsOverTcpAndConnectsAgainWhenTheConnectionIsCut() throws Exception {
    try (ScpiPeer far = ScpiPeer.onTcp();
        Meter meter = open("tcp://127.0.0.1:" + far.port())) {
      far.value("VOLT:DC", 48);
      assertThat(meter.read("dc-voltage")).isEqualTo(volts(48));
      far.drop();
      assertFails(Kind.UNREACHABLE, () -> meter.read("dc-voltage"));
      far.value("VOLT:DC", 49);
      assertThat(meter.read("dc-voltage")).isEqualTo(volts(49));
    }
  }

  @Test
  void aWholeReadingTakesMillisecondsOnly() throws Exception {
    try (Meter meter = open(cable.near())) {
      meter.read("dc-voltage");
      RealClock clock = new RealClock();
      long start = clock.nanos();
      for (int i = 0; i < 50; i++) {
        meter.read("dc-voltage");
      }
      assertThat(Duration.ofNanos(clock.nanos() - start)).isLessThan(Duration.ofSeconds(3));
    }
  }

  private static CompletableFuture<InstrumentException> failureInBackground(Meter meter) {
    CompletableFuture<InstrumentException> failure = new CompletableFuture<>();
    Thread thread =
        new Thread(
            () -> {
              try {
                Reading reading = meter.read("dc-voltage");
                failure.completeExceptionally(new ExecutionException("read " + reading, null));
              } catch (InstrumentException e) {
                failure.complete(e);
              } catch (RuntimeException e) {
                failure.completeExceptionally(e);
              }
            });
    thread.setDaemon(true);
    thread.start();
    return failure;
  }
}
