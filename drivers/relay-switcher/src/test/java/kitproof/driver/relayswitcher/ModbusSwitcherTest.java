package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.SimulatedClock;
import kitproof.driver.Switcher;
import kitproof.driver.kit.LineFaultContract;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.ScriptedLine;
import kitproof.driver.kit.SwitcherContract;
import kitproof.driver.serial.Conversation;
import kitproof.driver.serial.ScriptedLines;
import org.junit.jupiter.api.Test;

/** Over a scripted line with a slave of the test's own, which shares no code with the driver. */
class ModbusSwitcherTest extends SwitcherContract implements LineFaultContract<Switcher> {
  private static final Map<String, Object> RELAYS = Nodes.map("K1", 0, "K2", 1, "K3", 2, "K4", 12);

  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final ScriptedLine line = new ScriptedLine(clock, this::slave);
  private final boolean[] coils = new boolean[16];
  private int refuseWith;

  /** The slave's side of 01, 05 and 0F. */
  private byte[] slave(byte[] frame) {
    int length = frame.length - 2;
    if (crc(Arrays.copyOf(frame, length)) != (u(frame, length) | u(frame, length + 1) << 8)) {
      return new byte[0];
    }
    if (frame[0] != 1) {
      return new byte[0];
    }
    if (refuseWith != 0) {
      return withCrc(1, u(frame, 1) | 0x80, refuseWith);
    }
    int first = u(frame, 2) << 8 | u(frame, 3);
    switch (frame[1]) {
      case 1 -> {
        int count = u(frame, 4) << 8 | u(frame, 5);
        int[] reply = new int[3 + (count + 7) / 8];
        reply[0] = 1;
        reply[1] = 1;
        reply[2] = (count + 7) / 8;
        for (int i = 0; i < count; i++) {
          reply[3 + i / 8] |= coils[first + i] ? 1 << (i % 8) : 0;
        }
        return withCrc(reply);
      }
      case 5 -> coils[first] = u(frame, 4) == 0xFF;
      case 15 -> {
        int count = u(frame, 4) << 8 | u(frame, 5);
        for (int i = 0; i < count; i++) {
          coils[first + i] = (u(frame, 7 + i / 8) >> (i % 8) & 1) == 1;
        }
      }
      default -> {
        return withCrc(1, u(frame, 1) | 0x80, 1);
      }
    }
    return withCrc(1, u(frame, 1), u(frame, 2), u(frame, 3), u(frame, 4), u(frame, 5));
  }

  private static int u(byte[] bytes, int index) {
    return bytes[index] & 0xFF;
  }

  private static byte[] withCrc(int... values) {
    byte[] bytes = new byte[values.length + 2];
    for (int i = 0; i < values.length; i++) {
      bytes[i] = (byte) values[i];
    }
    int crc = crc(Arrays.copyOf(bytes, values.length));
    bytes[values.length] = (byte) crc;
    bytes[values.length + 1] = (byte) (crc >> 8);
    return bytes;
  }

  /** The same CRC the other way round: 0x8005 from the highest bit on, bits mirrored. */
  private static int crc(byte[] bytes) {
    int crc = 0xFFFF;
    for (byte b : bytes) {
      crc ^= Integer.reverse(b) >>> 24 << 8;
      for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 0x8000) == 0 ? crc << 1 : (crc << 1 ^ 0x8005) & 0xFFFF;
      }
    }
    return Integer.reverse(crc) >>> 16;
  }

  private static BoardSettings settings(Map<String, Object> relays) {
    return BoardSettings.read(
        Nodes.settings(
            Nodes.map(
                "line",
                "/dev/ttyUSB0",
                "protocol",
                "modbus-rtu",
                "baud",
                19_200,
                "relays",
                relays)));
  }

  @Override
  public Switcher open() throws InstrumentException {
    return RouteSwitcher.open(
        settings(RELAYS).open(new Conversation("ttyTest", ScriptedLines.opener(line), clock)),
        routes(),
        clock);
  }

  @Override
  public Set<String> energisedAtTheFarSide() {
    Set<String> on = new TreeSet<>();
    RELAYS.forEach(
        (relay, coil) -> {
          if (coils[(Integer) coil]) {
            on.add(relay);
          }
        });
    return on;
  }

  @Override
  public ScriptedLine line() {
    return line;
  }

  @Override
  public Object ask(Switcher switcher) throws InstrumentException {
    return switcher.closed();
  }

  @Override
  public Object truth(int number) {
    coils[0] = number == 1;
    coils[1] = number == 2;
    return Set.of(number == 1 ? "a" : "b");
  }

  @Override
  public int repliesPerAsk() {
    return 1;
  }

  @Override
  public Duration deadline() {
    return Duration.ofMillis(503); // the reply, and the silence before the request
  }

  private List<String> frames() {
    return line.sent().stream()
        .map(s -> HexFormat.of().withUpperCase().formatHex(s.getBytes(StandardCharsets.ISO_8859_1)))
        .map(s -> s.substring(0, s.length() - 4))
        .toList();
  }

  @Test
  void neighbouringCoilsGoInOneFrameAndNamelessOnesAreLeftAlone() throws Exception {
    coils[5] = true;
    try (Switcher switcher = open()) {
      assertThat(frames())
          .as("opening: K1 to K3 are neighbours, K4 is not; then read back")
          .containsExactly("010F000000030100", "0105000C0000", "01010000000D");
      switcher.select("c");
      assertThat(frames()).contains("010F000100020103");
    }
    assertThat(coils[5]).isTrue();
  }

  @Test
  void aFrameComesAfterASilenceOfThreeAndAHalfCharacters() throws Exception {
    try (Switcher switcher = open()) {
      long before = clock.nanos();
      switcher.closed();
      assertThat(clock.nanos() - before)
          .as("2.005 ms at 19200 baud (MODBUS over Serial Line V1.02, 2.5.1.1)")
          .isEqualTo(2_005_208);
    }
  }

  @Test
  void anExceptionIsToldByName() throws Exception {
    try (Switcher switcher = open()) {
      refuseWith = 2;
      assertThat(assertFails(Kind.PROTOCOL, () -> switcher.select("a")))
          .hasMessage("Modbus unit 1, read coils: refused with exception 2, ILLEGAL DATA ADDRESS");
      refuseWith = 0;
      switcher.select("a");
    }
  }

  @Test
  void aWriteIsNotHeldUpByAFailureBefore() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select("a");
      line.failOnce(ScriptedLine.Fault.SILENT, 0);
      assertFails(Kind.TIMEOUT, switcher::closed);
      long before = clock.nanos();
      switcher.openAll();
      assertThat(Duration.ofNanos(clock.nanos() - before))
          .as("the routes' settling of 20 ms and the silence of three frames, no timeout")
          .isLessThan(Duration.ofMillis(30));
      assertThat(energisedAtTheFarSide()).isEmpty();
    }
  }

  @Test
  void afterAnUnansweredReadACoilThatIsOffIsWrittenOffBeforeCoilsAreReadAgain() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select("a");
      line.failAlways(ScriptedLine.Fault.SILENT);
      int before = line.sent().size();
      for (int i = 0; i < 3; i++) {
        assertFails(Kind.TIMEOUT, switcher::closed);
      }
      line.mend();
      assertThat(switcher.closed()).containsExactly("a");
      assertThat(frames().subList(before, line.sent().size()))
          .as("K1 is on and never written; K2, K3 and K4 by turns")
          .containsExactly(
              "01010000000D", "010500010000", "010500020000", "0105000C0000", "01010000000D");
      assertThat(energisedAtTheFarSide()).containsExactly("K1");
    }
  }

  @Test
  void withNoCoilKnownToBeOffTheLineIsWatchedForATimeoutBeforeCoilsAreRead() throws Exception {
    var board =
        settings(RELAYS).open(new Conversation("ttyTest", ScriptedLines.opener(line), clock));
    long before = clock.nanos();
    board.energised();
    assertThat(Duration.ofNanos(clock.nanos() - before))
        .isGreaterThanOrEqualTo(Duration.ofMillis(500));
    assertThat(frames()).containsExactly("01010000000D");
    board.close();
  }

  @Test
  void aReplyThatDoesNotFitTheRequestIsAProtocolFailure() throws Exception {
    ScriptedLine liar =
        new ScriptedLine(clock, frame -> frame[1] == 5 ? withCrc(1, 5, 0, 7, 0, 0) : slave(frame));
    assertThat(
            assertFails(
                Kind.PROTOCOL,
                () ->
                    settings(Nodes.map("K1", 0))
                        .open(new Conversation("ttyTest", ScriptedLines.opener(liar), clock))
                        .set(Map.of("K1", false))))
        .hasMessageContaining("does not fit the request: 01 05 00 07 00 00");
  }

  @Test
  void anotherUnitsAnswerIsAProtocolFailure() throws Exception {
    ScriptedLine liar = new ScriptedLine(clock, frame -> withCrc(2, 1, 1, 0));
    assertThat(
            assertFails(
                Kind.PROTOCOL,
                () ->
                    settings(Nodes.map("K1", 0))
                        .open(new Conversation("ttyTest", ScriptedLines.opener(liar), clock))
                        .energised()))
        .hasMessageContaining("another unit");
  }

  @Test
  void moreCoilsThanAFrameMayCarryGoInSeveral() throws Exception {
    Map<String, Object> many = Nodes.map();
    Map<String, Boolean> wanted = new TreeMap<>();
    for (int i = 0; i < 2_100; i++) {
      many.put("R" + i, i);
      wanted.put("R" + i, true);
    }
    boolean[] big = new boolean[2_100];
    ScriptedLine board = new ScriptedLine(clock, frame -> bigSlave(big, frame));
    var relays =
        settings(many).open(new Conversation("ttyTest", ScriptedLines.opener(board), clock));
    relays.set(wanted);
    assertThat(big).doesNotContain(false);
    assertThat(relays.energised()).hasSize(2_100);
    assertThat(board.sent())
        .allSatisfy(frame -> assertThat(frame.length()).isLessThanOrEqualTo(256));
  }

  /** Accepts what MODBUS Application Protocol V1.1b3, 6.1 and 6.11, allows in one frame. */
  private static byte[] bigSlave(boolean[] coils, byte[] frame) {
    int first = u(frame, 2) << 8 | u(frame, 3);
    int count = u(frame, 4) << 8 | u(frame, 5);
    if (frame[1] == 15 && count <= 0x7B0) {
      Arrays.fill(coils, first, first + count, true);
      return withCrc(1, 15, u(frame, 2), u(frame, 3), u(frame, 4), u(frame, 5));
    }
    if (frame[1] == 1 && count <= 0x7D0) {
      int[] reply = new int[3 + (count + 7) / 8];
      reply[0] = 1;
      reply[1] = 1;
      reply[2] = (count + 7) / 8;
      for (int i = 0; i < count; i++) {
        reply[3 + i / 8] |= coils[first + i] ? 1 << (i % 8) : 0;
      }
      return withCrc(reply);
    }
    return withCrc(1, u(frame, 1) | 0x80, 3);
  }
}
