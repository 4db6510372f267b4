package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.TimeUnit;
import kitproof.console.Words;
import org.junit.jupiter.api.Test;

/** The line that tells how far a command has come. */
class CountingTest {
  private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
  private long nanos = 12_345;

  private Counting counting(boolean terminal) {
    PrintStream out = new PrintStream(bytes, true, StandardCharsets.UTF_8);
    return new Counting(
        new Terminal(out, terminal, terminal, new Words(false)), "records", () -> nanos);
  }

  private void pass(long milliseconds) {
    nanos += TimeUnit.MILLISECONDS.toNanos(milliseconds);
  }

  /** What was painted one after the other on the one line. */
  private List<String> painted() {
    String text = bytes.toString(StandardCharsets.UTF_8);
    assertThat(text).as("it stays on its line").doesNotContain("\n");
    return List.of(text.split("\r", -1)).stream().skip(1).toList();
  }

  @Test
  void onATerminalABarGrowsAndIsWipedInTheEnd() {
    try (Counting counting = counting(true)) {
      for (int i = 0; i <= 4; i++) {
        counting.looked(i * 50, 200);
        pass(100);
      }
    }
    assertThat(painted())
        .containsExactly(
            "[#######-----------------------] 50 of 200 records (25 %)\u001b[K",
            "[###############---------------] 100 of 200 records (50 %)\u001b[K",
            "[######################--------] 150 of 200 records (75 %)\u001b[K",
            "[##############################] 200 of 200 records (100 %)\u001b[K",
            "\u001b[K");
  }

  @Test
  void itIsPaintedTenTimesASecondHoweverFastItGoes() {
    try (Counting counting = counting(true)) {
      for (int i = 1; i <= 20_000; i++) {
        nanos += 50_000; // a second in all
        counting.looked(i, 20_000);
      }
    }
    assertThat(painted()).hasSize(11); // and once wiped
  }

  @Test
  void howLongTheRestMayTakeIsToldOnceItCanBeGuessed() {
    Counting counting = counting(true);
    pass(1900);
    counting.looked(10, 1000);
    pass(100);
    counting.looked(10, 1000);
    pass(3000);
    counting.looked(500, 1000);
    assertThat(painted().get(0)).endsWith("(1 %)\u001b[K");
    assertThat(painted().get(1)).endsWith("(1 %), 3:18 min left\u001b[K");
    assertThat(painted().get(2)).endsWith("(50 %), 5 s left\u001b[K");
  }

  @Test
  void whatHasNoKnownEndIsCounted() {
    try (Counting counting = counting(true)) {
      pass(150);
      counting.looked(7);
    }
    assertThat(painted()).containsExactly("7 records\u001b[K", "\u001b[K");
  }

  @Test
  void ofWhatIsDoneAtOnceNothingIsSeen() {
    try (Counting counting = counting(true)) {
      pass(99);
      counting.looked(3, 3);
    }
    assertThat(bytes.size()).isZero();
  }

  @Test
  void offATerminalNothingIsPrinted() {
    try (Counting counting = counting(false)) {
      pass(5000);
      counting.looked(1, 2);
      counting.looked(2);
    }
    try (Counting none = new Counting(null, "records", () -> nanos)) {
      pass(5000);
      none.looked(1, 2);
    }
    assertThat(bytes.size()).isZero();
  }
}
