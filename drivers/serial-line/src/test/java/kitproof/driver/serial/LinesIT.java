package kitproof.driver.serial;

import static kitproof.driver.kit.InstrumentContract.assertFails;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.RandomAccessFile;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.kit.RealClock;
import kitproof.peer.PtyPair;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Lines over real pseudo-terminals (socat) and real sockets. */
@Timeout(60)
class LinesIT {
  private static final Duration LONG = Duration.ofSeconds(20);
  private static final Duration SHORT = Duration.ofMillis(30);
  private final BenchClock clock = new RealClock();
  private final SerialFormat format = new SerialFormat(19_200, 8, SerialFormat.Parity.EVEN, 1);

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }

  @Test
  void bytesGoBothWaysThroughASerialPort() throws Exception {
    try (PtyPair pair = PtyPair.open();
        Line line = SerialPortLine.open(pair.near(), format, clock);
        RandomAccessFile far = new RandomAccessFile(pair.far(), "rw")) {
      line.send(bytes("ping"));
      byte[] got = new byte[4];
      far.readFully(got);
      assertThat(got).isEqualTo(bytes("ping"));
      far.write(new byte[] {0, 10, 13, 17, 19, (byte) 255});
      byte[] back = new byte[0];
      while (back.length < 6) {
        byte[] more = line.receive(LONG);
        assertThat(more).isNotEmpty();
        byte[] all = new byte[back.length + more.length];
        System.arraycopy(back, 0, all, 0, back.length);
        System.arraycopy(more, 0, all, back.length, more.length);
        back = all;
      }
      assertThat(back).containsExactly(0, 10, 13, 17, 19, -1);
    }
  }

  @Test
  void waitingEndsInTimeAlsoBelowTheLibrarysHundredMilliseconds() throws Exception {
    try (PtyPair pair = PtyPair.open();
        Line line = SerialPortLine.open(pair.near(), format, clock)) {
      assertThat(fastestOfFive(line, SHORT)).isBetween(SHORT, Duration.ofMillis(90));
      assertThat(fastestOfFive(line, Duration.ofMillis(250)))
          .isBetween(Duration.ofMillis(250), Duration.ofMillis(300));
    }
  }

  /** The fastest, as a busy machine may hold up any single one. */
  private Duration fastestOfFive(Line line, Duration wait) throws Exception {
    Duration fastest = LONG;
    for (int i = 0; i < 5; i++) {
      long start = clock.nanos();
      byte[] got = line.receive(wait);
      Duration taken = Duration.ofNanos(clock.nanos() - start);
      assertThat(got).isEmpty();
      fastest = taken.compareTo(fastest) < 0 ? taken : fastest;
    }
    return fastest;
  }

  @Test
  void pullingTheCableOutFreesAReaderAndPuttingItInAgainIsANewPort() throws Exception {
    try (PtyPair pair = PtyPair.open()) {
      Line line = SerialPortLine.open(pair.near(), format, clock);
      CompletableFuture<byte[]> reading = read(line);
      pair.unplug();
      assertFailsWith(reading, Kind.UNREACHABLE);
      assertFails(Kind.UNREACHABLE, () -> line.receive(SHORT));
      assertFails(Kind.UNREACHABLE, () -> line.send(bytes("x")));
      line.close();
      assertThat(
              assertFails(
                  Kind.UNREACHABLE, () -> SerialPortLine.open(pair.near(), format, clock).close()))
          .hasMessageContaining("is it plugged in?");
      pair.plug();
      try (Line again = SerialPortLine.open(pair.near(), format, clock);
          RandomAccessFile far = new RandomAccessFile(pair.far(), "rw")) {
        far.write(bytes("back"));
        assertThat(again.receive(LONG)).isNotEmpty();
      }
    }
  }

  @Test
  void closingFromAnotherThreadFreesAReader() throws Exception {
    try (PtyPair pair = PtyPair.open()) {
      Line line = SerialPortLine.open(pair.near(), format, clock);
      CompletableFuture<byte[]> reading = read(line);
      line.close();
      line.close();
      assertFailsWith(reading, Kind.UNREACHABLE);
    }
  }

  @Test
  void aPortThatIsInUseIsRefusedInWords() throws Exception {
    try (PtyPair pair = PtyPair.open();
        Line first = SerialPortLine.open(pair.near(), format, clock)) {
      assertThat(
              assertFails(
                  Kind.UNREACHABLE, () -> SerialPortLine.open(pair.near(), format, clock).close()))
          .hasMessageContaining("does another program use it");
      assertThat(first.receive(Duration.ZERO)).isEmpty();
    }
  }

  @Test
  void bytesGoBothWaysThroughASocketUntilItIsCut() throws Exception {
    try (ServerSocket door = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      Line line =
          new LineSettings("tcp://localhost:" + door.getLocalPort(), format)
              .opener()
              .open(clock, LONG);
      try (Socket far = door.accept()) {
        line.send(bytes("ping"));
        assertThat(far.getInputStream().readNBytes(4)).isEqualTo(bytes("ping"));
        assertThat(line.receive(Duration.ZERO)).isEmpty();
        assertThat(fastestOfFive(line, SHORT)).isBetween(SHORT, Duration.ofMillis(90));
        far.getOutputStream().write(bytes("pong"));
        assertThat(line.receive(LONG)).isEqualTo(bytes("pong"));
      }
      assertFails(Kind.UNREACHABLE, () -> line.receive(LONG));
      line.close();
      assertFails(Kind.UNREACHABLE, () -> line.receive(SHORT));
    }
  }

  @Test
  void closingASocketFreesAReaderAndNobodyListeningIsUnreachable() throws Exception {
    int port;
    try (ServerSocket door = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = door.getLocalPort();
      Line line = TcpLine.open("localhost", port, LONG);
      CompletableFuture<byte[]> reading = read(line);
      line.close();
      assertFailsWith(reading, Kind.UNREACHABLE);
    }
    assertThat(assertFails(Kind.UNREACHABLE, () -> TcpLine.open("localhost", port, LONG).close()))
        .hasMessageContaining("localhost:" + port);
  }

  @Test
  void thePortsOfThisMachineCanBeListed() {
    assertThat(SerialPorts.present()).doesNotContainNull().isSorted();
  }

  /** Reads in another thread, which has begun when this returns. */
  private static CompletableFuture<byte[]> read(Line line) throws Exception {
    CompletableFuture<Void> begun = new CompletableFuture<>();
    CompletableFuture<byte[]> reading = new CompletableFuture<>();
    Thread thread =
        new Thread(
            () -> {
              begun.complete(null);
              try {
                reading.complete(line.receive(LONG));
              } catch (InstrumentException | RuntimeException e) {
                reading.completeExceptionally(e);
              }
            });
    thread.setDaemon(true);
    thread.start();
    begun.get(10, TimeUnit.SECONDS);
    // Give the thread time to be inside the read; if it is not yet, the test holds all the same.
    Thread.sleep(150);
    return reading;
  }

  private static void assertFailsWith(CompletableFuture<byte[]> reading, Kind kind) {
    assertThat(reading)
        .failsWithin(Duration.ofSeconds(2))
        .withThrowableOfType(ExecutionException.class)
        .havingCause()
        .isInstanceOfSatisfying(
            InstrumentException.class, e -> assertThat(e.kind()).isEqualTo(kind));
  }
}
