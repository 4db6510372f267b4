package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import kitproof.driver.InstrumentException;
import kitproof.driver.SimulatedClock;
import kitproof.driver.serial.Conversation;
import kitproof.driver.serial.Line;
import kitproof.driver.serial.SerialFormat;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A line on which something talks without end, faster than the silence before a frame. */
class BabblingLineTest {
  private static final Duration TIMEOUT = Duration.ofMillis(500);

  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final List<String> sent = new ArrayList<>();
  private final ModbusLine line =
      new ModbusLine(
          new Conversation("ttyTest", (time, atMost) -> new Babble(), clock),
          1,
          new SerialFormat(19_200, 8, SerialFormat.Parity.EVEN, 1),
          TIMEOUT);
  private final ModbusBoard board =
      new ModbusBoard(line, "ttyTest", Map.of("K1", 0, "K2", 1, "K3", 12));

  /** A byte each millisecond; the silence is 2 ms. */
  private final class Babble implements Line {
    private long next = clock.nanos();

    @Override
    public void send(byte[] bytes) {
      String frame = HexFormat.of().withUpperCase().formatHex(bytes);
      sent.add(frame.substring(0, frame.length() - 4));
    }

    @Override
    public byte[] receive(Duration atMost) {
      long wait = Math.max(0, next - clock.nanos());
      boolean comes = wait <= atMost.toNanos();
      try {
        clock.sleep(Duration.ofNanos(comes ? wait : atMost.toNanos()));
      } catch (InterruptedException e) {
        throw new AssertionError(e);
      }
      if (!comes) {
        return new byte[0];
      }
      next += 1_000_000;
      return new byte[] {0x55};
    }

    @Override
    public void close() {}
  }

  @BeforeEach
  void open() throws InstrumentException {
    line.open();
  }

  @Test
  void everyRelayIsStillToldToRelease() {
    assertThatThrownBy(() -> board.set(Map.of("K1", false, "K2", false, "K3", false)))
        .as("that no reply was found is told")
        .isInstanceOf(InstrumentException.class);
    assertThat(sent).containsExactly("010F000000020100", "0105000C0000");
  }

  @Test
  void theCommandIsHeldUpBriefly() {
    assertThatThrownBy(() -> board.set(Map.of("K1", false)))
        .isInstanceOf(InstrumentException.class);
    assertThat(sent).containsExactly("010500000000");
    assertThat(Duration.ofNanos(clock.nanos()))
        .as("100 ms of listening, the wait for a reply, and the search for its end")
        .isLessThan(Duration.ofMillis(100 + 500 + 50));
  }

  @Test
  void nothingIsEnergisedAndNothingReadBack() {
    assertThatThrownBy(() -> board.set(Map.of("K1", true)))
        .hasMessageContaining("talks without being asked");
    assertThatThrownBy(board::energised).isInstanceOf(InstrumentException.class);
    assertThatThrownBy(() -> board.set(Map.of("K1", false, "K2", true)))
        .as("what cannot be released confirmedly keeps the rest from being energised")
        .isInstanceOf(InstrumentException.class);
    assertThat(sent).allMatch(frame -> frame.startsWith("0105") && frame.endsWith("0000"));
  }

  @Test
  void aRefreshLetsGoOfTheLineInItsOwnTime() {
    assertThatThrownBy(
            () -> line.refresh(new BoardSettings.Watchdog(16, 50, Duration.ofSeconds(1))))
        .isInstanceOf(InstrumentException.class);
    assertThat(Duration.ofNanos(clock.nanos())).isLessThan(Duration.ofMillis(150));
  }
}
