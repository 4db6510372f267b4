package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;

/**
 * One section of the page of faults: each test makes a row, and each fault ends with the bench safe
 * and a clear reason.
 */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
abstract class FaultRows {
  static final String ERROR = "error, mains off, discharge watched";
  static final String HV_UNKNOWN = "error, mains off, HV called unknown";

  @TempDir Path folder;
  final FaultTable table;
  private int runs;

  FaultRows(FaultTable.Section section) {
    this.table = new FaultTable(section);
  }

  @AfterAll
  void page() throws IOException {
    table.close();
  }

  /** Builds a fault into the bench of fakes. */
  interface Fault {
    void in(FaultBench bench) throws Exception;
  }

  /** A run under a name of its own. */
  final RunRecord run(FaultBench bench) throws IOException {
    return bench.run("run-" + ++runs);
  }

  /** A run on fakes. */
  final RunRecord fake(int number, String fault, String expected, Verdict verdict, Fault build)
      throws Exception {
    FaultBench bench = new FaultBench(folder);
    build.in(bench);
    RunRecord record = run(bench);
    assertThat(record.verdict()).as(fault + ": " + record.reason()).isEqualTo(verdict);
    if (verdict != Verdict.PASS) {
      assertThat(record.reason()).as(fault).isNotEmpty();
    }
    Event.SafeState last = record.safeStates().get(record.safeStates().size() - 1);
    if (last.confirmed()) {
      assertThat(bench.board.now()).as(fault).doesNotContain("K1", "K2", "K3", "K4");
    }
    table.putFake(number, fault, expected, FaultTable.seen(record));
    return record;
  }

  /** Sets up instruments, plan and limits in a folder. */
  interface Layout {
    SerialBench in(Path folder) throws Exception;
  }

  /** What happens while the long reading goes on. */
  interface Wire {
    void on(SerialBench bench, Program program) throws Exception;
  }

  /** A run of the program with instruments on serial lines. */
  final RunRecord wire(int number, String fault, String expected, Verdict verdict, Wire happens)
      throws Exception {
    return wire(
        number,
        fault,
        expected,
        verdict,
        own -> new SerialBench(own, "", SerialBench.LONG_READING),
        happens);
  }

  /** The same with another layout, whose third step is called "long reading" too. */
  final RunRecord wire(
      int number, String fault, String expected, Verdict verdict, Layout layout, Wire happens)
      throws Exception {
    String unit = unit(number);
    try (SerialBench bench = layout.in(own(number));
        Program program = bench.startLongReading(unit)) {
      happens.on(bench, program);
      RunRecord record = bench.scene.ended(program, unit, verdict);
      if (record.safeStates().get(record.safeStates().size() - 1).confirmed()) {
        assertThat(bench.slave.coilsOn()).as(fault).isEmpty();
      }
      assertThat(record.reason()).as(fault).isNotEmpty();
      table.put(number, fault, expected, seen(record));
      return record;
    }
  }

  /** What the row says was seen. */
  String seen(RunRecord record) {
    return FaultTable.seen(record);
  }

  /** A folder for this row alone. */
  final Path own(int number) throws IOException {
    return Files.createDirectories(folder.resolve("row-" + number));
  }

  static String unit(int number) {
    return "LN12-0%02d".formatted(number);
  }
}
