package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import kitproof.cli.Cli;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Drivers that misbehave: a plugin of the whole program, loaded from its jar.
 *
 * <p>All runs go on at once. One whose driver never returns waits a quarter of a minute, as the
 * program's own deadline is, and nearly nothing is computed meanwhile.
 */
class DriverFaultsIT extends FaultRows {
  private static final String NO_MISTAKE = "none";

  /** What each row is of. */
  record Row(int number, String role, String fault, String in, String of, String expected) {
    private String title() {
      return switch (fault) {
        case "throws" -> "driver that throws from every method once the mains is on (" + of + ")";
        case "hangs" -> "driver that never returns from " + of;
        default -> "out of memory in a driver while it works on " + of + " (the heap really is)";
      };
    }

    /** How the reason begins that the record gives. */
    private String reason() {
      return switch (in) {
        case "make safe" -> "the safe state could not be confirmed: " + role;
        case "close" -> "closing " + role;
        default -> role;
      };
    }

    @Override
    public String toString() {
      return number + " " + title();
    }
  }

  private static Row throwing(int number, String role, String of, String expected) {
    return new Row(number, role, "throws", "every method", of, expected);
  }

  private static Row hanging(int number, String role, String in, String of, String expected) {
    String inTime = expected.replaceFirst("^error, (?!not)", "error within its deadline, ");
    return new Row(number, role, "hangs", in, of, inTime);
  }

  static List<Row> rows() {
    return List.of(
        throwing(21, "hv-meter", "meter", HV_UNKNOWN),
        throwing(26, "relays", "relay board", NOT_CONFIRMED),
        throwing(
            27,
            "audio",
            "audio interface",
            ERROR + "; not confirmed, as the interface cannot be told to be silent"),
        throwing(28, "operator", "person", ERROR),
        new Row(23, "audio", "wants memory", "exchange", "a capture", ERROR),
        hanging(22, "hv-meter", "read", "a reading", HV_UNKNOWN),
        hanging(34, "hv-meter", "recognise", "the question who it is", HV_UNKNOWN),
        hanging(35, "relays", "set", "a command to its relays", NOT_CONFIRMED),
        hanging(36, "relays", "read back", "a read-back of its relays", NOT_CONFIRMED),
        hanging(37, "audio", "exchange", "a signal", ERROR),
        hanging(38, "operator", "ask", "a question to the person", ERROR),
        hanging(39, "operator", "answer", "a look for an answer", ERROR),
        hanging(30, "operator", "show", "a value for the person", ERROR),
        hanging(58, "audio", "make safe", "being made safe (audio interface)", NOT_CONFIRMED),
        hanging(59, "relays", "close", "being closed (relay board)", ERROR));
  }

  private final Map<Integer, Scene> scenes = new HashMap<>();
  private Map<String, Integer> codes = Map.of();
  private String printed = "";

  DriverFaultsIT() {
    super(FaultTable.Section.DRIVERS);
  }

  @BeforeAll
  void runAll(@TempDir Path all) throws Exception {
    Path plugins = PluginScene.plugins(all);
    int broker = Aftermath.nobody();
    Map<String, List<String>> calls = new TreeMap<>();
    for (Row row : rows()) {
      scenes.put(
          row.number(),
          PluginScene.in(of(all, row.number()), plugins, row.role(), row.fault(), row.in())
              .broker(broker));
    }
    scenes.put(0, PluginScene.in(of(all, 0), plugins, "", NO_MISTAKE, NO_MISTAKE).broker(broker));
    scenes.forEach((number, scene) -> calls.put(unit(number), scene.arguments(unit(number))));
    Path said = all.resolve("printed.txt");
    try (PrintStream out =
        new PrintStream(Files.newOutputStream(said), true, StandardCharsets.UTF_8)) {
      codes = Cli.together(out, calls);
    }
    printed = Files.readString(said);
  }

  private static Path of(Path all, int number) throws IOException {
    return Files.createDirectory(all.resolve("row-" + number));
  }

  private RunRecord ended(int number, Verdict verdict) throws Exception {
    assertThat(codes.get(unit(number))).as(printed).isEqualTo(verdict.exitCode());
    assertThat(printed)
        .containsPattern("(?m)^" + unit(number) + ": " + verdict.name() + "   record: ");
    RunRecord record = scenes.get(number).record(unit(number));
    assertThat(record.verdict()).isEqualTo(verdict);
    return record;
  }

  @Test
  void theSameBenchIsGoodWithoutAFault() throws Exception {
    RunRecord record = ended(0, Verdict.PASS);
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
    assertThat(record.safeStates()).allMatch(Event.SafeState::confirmed);
  }

  @ParameterizedTest
  @MethodSource("rows")
  void row(Row row) throws Exception {
    RunRecord record = ended(row.number(), Verdict.ERROR);
    String expected = row.expected();
    List<Event.SafeState> states = record.safeStates();
    assertThat(states.get(states.size() - 1).confirmed())
        .as(record.reason())
        .isEqualTo(!expected.contains("not confirmed"));
    assertThat(record.reason()).startsWith(row.reason());
    if (expected.endsWith("HV called unknown")) {
      assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
    }
    if (expected.contains("discharge watched")) {
      assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
      assertThat(Results.value(record, "discharge time to safe")).isPositive();
    }
    table.putInProcess(row.number(), row.title(), expected, seen(record));
  }
}
