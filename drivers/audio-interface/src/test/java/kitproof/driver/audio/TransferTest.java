package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.Proxy;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.SourceDataLine;
import javax.sound.sampled.TargetDataLine;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.InstrumentContract;
import kitproof.driver.kit.Nodes;
import kitproof.value.Signal;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

/** A card of which each direction can stand still, on simulated time. */
class TransferTest {
  private static final int RATE = 8_000;
  private static final AudioFormat FORMAT = new AudioFormat(RATE, 16, 1, true, false);
  private static final Duration TIMEOUT = Duration.ofSeconds(1);

  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final List<String> calls = new ArrayList<>();
  private final AtomicBoolean cancelled = new AtomicBoolean();
  private Duration hiccup = Duration.ZERO;
  private long giving = Long.MAX_VALUE;
  private long taking = Long.MAX_VALUE;
  private long losing;
  private int lost;
  private int given;
  private int taken;

  private final Passage passage = Passage.of(settings(), Signal.of(RATE, new double[RATE]));
  private final Recording recording = new Recording(codec(), List.of(0), 2 * RATE);

  @Test
  @DisplayName("The capture runs before playback starts, and all of the passage is played")
  void wholePassage() throws Exception {
    Transfer transfer = transfer();
    transfer.start();
    transfer.record(passage.length() + 1_000);

    assertThat(calls).containsExactly("start capture", "start playback");
    assertThat(transfer.begun()).isPositive();
    assertThat(recording.length()).isGreaterThanOrEqualTo(passage.length() + 1_000);
    assertThat(taken).isGreaterThanOrEqualTo(passage.length());
    assertThat(transfer.late()).isFalse();
  }

  @Test
  @DisplayName("What follows without a break is placed by what has been played and captured so far")
  void followsWithoutABreak() throws Exception {
    Transfer transfer = transfer();
    transfer.start();
    int primed = transfer.begun();
    transfer.record(passage.length());
    int before = recording.length();
    long wanted = clock.nanos() + 2_000_000_000L;
    transfer.keepSilent(() -> clock.nanos() >= wanted);
    assertThat(recording.length()).isEqualTo(before);
    assertThat(transfer.late()).isFalse();

    // What is played now comes after a full buffer of silence.
    int queued = taken - given;
    transfer.take(passage.following(settings()), new Recording(codec(), List.of(0), 2 * RATE));
    assertThat(transfer.begun()).isEqualTo(queued + primed);
    transfer.record(RATE);
    assertThat(calls).containsExactly("start capture", "start playback");
  }

  @Test
  @DisplayName("Between passages it notices that it came too late, and that nothing moves any more")
  void looksAfterSilenceToo() throws Exception {
    Transfer transfer = transfer();
    transfer.start();
    hiccup = Duration.ofMillis(150);
    transfer.keepSilent(() -> false);
    assertThat(transfer.late()).isTrue();

    hiccup = Duration.ZERO;
    taking = taken;
    assertThat(InstrumentContract.assertFails(Kind.UNREACHABLE, () -> silent(transfer)))
        .hasMessageContaining("takes no more samples");
  }

  private static void silent(Transfer transfer) throws kitproof.driver.InstrumentException {
    try {
      transfer.keepSilent(() -> false);
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }

  private static SampleCodec codec() {
    return new SampleCodec(FORMAT);
  }

  @Test
  @DisplayName("A device that never gives a sample counts as lost when the timeout is over")
  void givesNothing() {
    giving = 0;
    Transfer transfer = transfer();

    assertThat(InstrumentContract.assertFails(Kind.UNREACHABLE, () -> run(transfer)))
        .hasMessageContaining("gives no more samples");
    assertThat(clock.nanos()).isBetween(1_000_000_000L, 1_100_000_000L);
    assertThat(calls).doesNotContain("start playback");
  }

  @Test
  @DisplayName("A device that stops giving in the middle counts as lost")
  void stopsGiving() {
    giving = RATE / 2;

    assertThat(InstrumentContract.assertFails(Kind.UNREACHABLE, () -> run(transfer())))
        .hasMessageContaining("gives no more samples");
    assertThat(recording.length()).isEqualTo(RATE / 2);
  }

  @Test
  @DisplayName("A device that stops taking in the middle counts as lost")
  void stopsTaking() {
    taking = RATE / 4;

    assertThat(InstrumentContract.assertFails(Kind.UNREACHABLE, () -> run(transfer())))
        .hasMessageContaining("takes no more samples");
    assertThat(taken).isEqualTo(RATE / 4);
  }

  @Test
  @DisplayName("It knows when it came back later than a buffer lasts")
  void late() throws Exception {
    Transfer transfer = transfer();
    transfer.start();
    transfer.record(RATE / 2);
    assertThat(transfer.late()).isFalse();
    hiccup = Duration.ofMillis(150);
    transfer.record(RATE);

    assertThat(transfer.late()).isTrue();
  }

  @Test
  @DisplayName("Counted against the clock, frames that were lost are missed without any marker")
  void countsWhatIsLost() throws Exception {
    Transfer transfer = transfer();
    transfer.start();
    assertThat(transfer.recordCounting(RATE / 2, RATE)).isFalse();
    losing = RATE + RATE / 2;
    lost = RATE / 50;
    assertThat(transfer.recordCounting(RATE + RATE / 4, 2 * RATE)).isTrue();
    assertThat(transfer.recordCounting(2 * RATE + RATE / 2, 3 * RATE))
        .as("lost before, not in this part")
        .isFalse();
  }

  @Test
  @DisplayName("Frames that are only fetched late are none that were lost")
  void countsWhatIsLate() throws Exception {
    Transfer transfer = transfer();
    transfer.start();
    transfer.record(RATE / 2);
    hiccup = Duration.ofMillis(80);
    assertThat(transfer.recordCounting(RATE, 2 * RATE)).isFalse();
  }

  @Test
  @DisplayName("It ends when the interface is closed meanwhile")
  void cancelled() {
    Transfer transfer = transfer();
    cancelled.set(true);

    assertThat(InstrumentContract.assertFails(Kind.UNREACHABLE, () -> run(transfer)))
        .hasMessageContaining("closed");
  }

  private void run(Transfer transfer) throws kitproof.driver.InstrumentException {
    try {
      transfer.start();
      transfer.record(passage.length());
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }

  private Transfer transfer() {
    Lines lines =
        new Lines(line(SourceDataLine.class), line(TargetDataLine.class), "a card of the test");
    Transfer transfer = new Transfer(lines, clock, TIMEOUT, this::isCancelled);
    transfer.take(passage, recording);
    return transfer;
  }

  /** Asked once a round, so this is where the round takes its time. */
  private boolean isCancelled() {
    try {
      clock.sleep(hiccup);
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
    return cancelled.get();
  }

  /** Frames that the card has lost until it has come so far. */
  private int lost(int passed) {
    return passed >= losing ? lost : 0;
  }

  /** Gives and takes at the rate of the simulated time, up to its end. */
  private <T> T line(Class<T> type) {
    return type.cast(
        Proxy.newProxyInstance(
            type.getClassLoader(),
            new Class<?>[] {type},
            (proxy, method, arguments) -> {
              int passed = (int) (clock.nanos() * RATE / 1_000_000_000L);
              boolean out = type == SourceDataLine.class;
              return switch (method.getName()) {
                case "getFormat" -> FORMAT;
                case "getBufferSize" -> RATE / 10 * 2;
                case "start" -> calls.add(out ? "start playback" : "start capture") ? null : null;
                case "available" ->
                    2
                        * (int)
                            (out
                                ? Math.min(passed + RATE / 10, taking) - taken
                                : Math.min(passed - lost(passed), giving) - given);
                case "write" -> {
                  taken += (int) arguments[2] / 2;
                  yield arguments[2];
                }
                case "read" -> {
                  given += (int) arguments[2] / 2;
                  yield arguments[2];
                }
                default -> throw new UnsupportedOperationException(method.getName());
              };
            }));
  }

  private static LiveSettings settings() {
    Map<String, Object> port = Map.of("one", Map.of("channel", 1, "full-scale", "1 V"));
    return LiveSettings.read(
        Nodes.settings(Map.of("rate", "8 kHz", "outputs", port, "inputs", port)));
  }
}
