package kitproof.peers;

import static java.nio.file.StandardOpenOption.CREATE;
import static java.nio.file.StandardOpenOption.WRITE;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ConcurrentSkipListMap;
import java.util.regex.Pattern;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;

/**
 * A section of the page of faults in the docs: what was expected of each and what was seen. Written
 * with {@code -Dkitproof.faults.write=true}, else compared; the sections of other tests are theirs.
 */
public final class FaultTable {
  private static final Path PAGE =
      Path.of("").toAbsolutePath().getParent().resolve("docs").resolve("faults.md");

  private static final Pattern NUMBER = Pattern.compile("(?m)^\\| (\\d+) \\|");

  private static final Path LOCK = Path.of("target", "faults.lock");

  private static final String INTRODUCTION =
      """
      # Faults, and what becomes of a run

      Written by the tests named here with `-Dkitproof.faults.write=true`, compared by them otherwise. Every row is a run of
      the station, or what becomes of its records. *Real* faults are made outside the program: on a wire (a pseudo-terminal with a
      real peer behind it), at a real sound server, broker, terminal or PostgreSQL, on a mounted disk, by a signal. *In-process* ones
      are by nature within it: a driver plugin that the whole program loads from its jar and that misbehaves, a console that throws,
      a heap that has no more to give. *Played* is what only the test's own hands can do: the sequencer is given a clock that jumps,
      a run a screen that cannot read or is held.
      Every run has a complete record that ends with its verdict, unless its row says why not. Exit codes 3 (aborted) and
      4 (error) are for what kept the station from a verdict on the unit; a row that ends as pass or fail says why it is one.
      """;

  /** In the order of the page. */
  public enum Section {
    METER("Meter", "MeterFaultsIT"),
    RELAYS("Relay board", "RelayFaultsIT"),
    AUDIO("Audio interface", "AudioFaultsIT"),
    DRIVERS("Drivers", "DriverFaultsIT"),
    PROGRAM("The program itself", "ProgramFaultsIT"),
    DISK("The disk", "DiskFaultsIT"),
    STATION("What is around it", "StationFaultsIT"),
    STORE("The store", "StoreFaultsIT");

    private final String heading;

    Section(String title, String test) {
      this.heading = "\n## " + title + " (`" + test + "`)\n";
    }
  }

  /** Of all who made rows in this program: whoever makes one again finds the others there. */
  private static final Map<Section, Map<Integer, String>> MADE = new ConcurrentHashMap<>();

  private final Section section;
  private final Map<Integer, String> rows;

  public FaultTable(Section section) {
    this.section = section;
    this.rows = MADE.computeIfAbsent(section, none -> new ConcurrentSkipListMap<>());
  }

  /** A row whose number orders the page, of a fault that really is there. */
  public void put(int number, String fault, String expected, String seen) {
    put(number, fault, "real", expected, seen);
  }

  /** A row of a fault that is within the program's own process by nature. */
  void putInProcess(int number, String fault, String expected, String seen) {
    put(number, fault, "in-process", expected, seen);
  }

  /** A row of a fault that only the test's own hands can make. */
  void putPlayed(int number, String fault, String expected, String seen) {
    put(number, fault, "played", expected, seen);
  }

  private void put(int number, String fault, String how, String expected, String seen) {
    String row = String.join(" | ", fault, how, expected, seen.replace("|", "/"));
    rows.put(number, "| " + number + " | " + row + " |\n");
  }

  /** What a record says, in the words of the page: no ports, paths or times of the machine. */
  static String seen(RunRecord record) {
    Verdict verdict = record.verdict();
    assertThat(verdict).isNotNull();
    boolean confirmed =
        !record.safeStates().isEmpty()
            && record.safeStates().get(record.safeStates().size() - 1).confirmed();
    complete(record);
    return verdict
        + ", exit code "
        + verdict.exitCode()
        + "; "
        + (confirmed ? "safe state read back" : "SAFE STATE NOT CONFIRMED, operator told")
        + (record.reason().isEmpty() ? "" : "; “" + plain(record.reason()) + "”");
  }

  /** The beginning of such words where nothing says what became of the relays. */
  static String ended(RunRecord record) {
    complete(record);
    Verdict verdict = record.verdict();
    return verdict + ", exit code " + verdict.exitCode();
  }

  /** From its start to its end. */
  static void complete(RunRecord record) {
    boolean whole =
        record.events().get(0).event() instanceof Event.RunStarted
            && record.events().get(record.events().size() - 1).event() instanceof Event.RunEnded;
    assertThat(whole).as("a complete record").isTrue();
  }

  public static String plain(String reason) {
    return reason
        .replaceAll("(/[A-Za-z0-9._-]+){2,}", "…")
        .replaceAll("[0-9]+ ms", "… ms")
        .replaceAll("only [0-9]+ bytes", "only … bytes")
        .replaceAll("\\s+", " ")
        .strip();
  }

  /** Writes or compares; another section may be written at the same time. */
  public void close() throws IOException {
    try (FileChannel page = FileChannel.open(LOCK, CREATE, WRITE)) {
      page.lock();
      writeOrCompare();
    }
  }

  private void writeOrCompare() throws IOException {
    boolean write = Boolean.getBoolean("kitproof.faults.write");
    String before =
        write && !Files.exists(PAGE) ? "" : Files.readString(PAGE, StandardCharsets.UTF_8);
    StringBuilder page = new StringBuilder(INTRODUCTION);
    for (Section each : Section.values()) {
      page.append(each.heading);
      page.append(each == section ? table() : tableOf(each, before));
    }
    assertThat(NUMBER.matcher(page).results().map(row -> row.group(1)).toList())
        .as("each row has a number of its own")
        .doesNotHaveDuplicates();
    if (write) {
      Files.createDirectories(PAGE.getParent());
      Files.writeString(PAGE, page, StandardCharsets.UTF_8);
    }
    assertThat(Files.readString(PAGE, StandardCharsets.UTF_8)).isEqualTo(page.toString());
  }

  private String table() {
    StringBuilder table =
        new StringBuilder("\n| | fault | is | expected | seen |\n|---|---|---|---|---|\n");
    rows.values().forEach(table::append);
    return table.toString();
  }

  /** What stands under a heading; nothing if the page does not have it yet. */
  private static String tableOf(Section section, String page) {
    int at = page.indexOf(section.heading);
    if (at < 0) {
      return "";
    }
    int begin = at + section.heading.length();
    int end = page.indexOf("\n## ", begin);
    return page.substring(begin, end < 0 ? page.length() : end);
  }
}
