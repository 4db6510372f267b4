package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.TreeMap;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;

/**
 * The page of faults in the docs: what was expected of each and what was seen. Written with {@code
 * -Dkitproof.faults.write=true}, else compared.
 */
final class FaultTable {
  private static final Path PAGE =
      Path.of("").toAbsolutePath().getParent().resolve("docs").resolve("faults.md");
  private final Map<String, String> rows = new TreeMap<>();

  /** A row whose number orders the page. */
  synchronized void put(int number, String fault, String expected, String seen) {
    rows.put(
        String.format(java.util.Locale.ROOT, "%02d", number),
        "| " + number + " | " + fault + " | " + expected + " | " + seen.replace("|", "/") + " |\n");
  }

  /** What a record says, in the words of the page: no ports, paths or times of the machine. */
  static String seen(RunRecord record) {
    Verdict verdict = record.verdict();
    assertThat(verdict).isNotNull();
    boolean confirmed =
        !record.safeStates().isEmpty()
            && record.safeStates().get(record.safeStates().size() - 1).confirmed();
    boolean whole =
        record.events().get(0).event() instanceof Event.RunStarted
            && record.events().get(record.events().size() - 1).event() instanceof Event.RunEnded;
    assertThat(whole).as("a complete record").isTrue();
    return verdict
        + ", exit code "
        + verdict.exitCode()
        + "; "
        + (confirmed ? "safe state read back" : "SAFE STATE NOT CONFIRMED, operator told")
        + "; “"
        + plain(record.reason())
        + "”";
  }

  static String plain(String reason) {
    return reason
        .replaceAll("(/[A-Za-z0-9._-]+){2,}", "…")
        .replaceAll("[0-9]+ ms", "… ms")
        .replaceAll("only [0-9]+ bytes", "only … bytes")
        .replaceAll("\\s+", " ")
        .strip();
  }

  /** Writes or compares. */
  void close() throws IOException {
    StringBuilder page = new StringBuilder();
    page.append("# Faults, and what becomes of a run\n\n");
    page.append(
        "Written by `FaultTableIT` with `-Dkitproof.faults.write=true`, compared by it otherwise."
            + " Every row is a run of the\nstation: wires are pseudo-terminals with real peers"
            + " behind them, the rest are drivers and disks that fail. Every run has a\ncomplete"
            + " record that ends with its verdict.\n\n");
    page.append("| | fault | expected | seen |\n|---|---|---|---|\n");
    rows.values().forEach(page::append);
    if (Boolean.getBoolean("kitproof.faults.write")) {
      Files.createDirectories(PAGE.getParent());
      Files.writeString(PAGE, page, StandardCharsets.UTF_8);
    }
    assertThat(Files.readString(PAGE, StandardCharsets.UTF_8)).isEqualTo(page.toString());
  }
}
