package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
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

  static final String NOT_CONFIRMED =
      "error, not confirmed: the operator is told to use the emergency stop";

  @TempDir Path folder;
  final FaultTable table;

  FaultRows(FaultTable.Section section) {
    this.table = new FaultTable(section);
  }

  @AfterAll
  void page() throws IOException {
    table.close();
  }

  /** Sets up instruments, plan and limits in a folder. */
  interface Layout {
    SerialBench in(Path folder) throws Exception;
  }

  /** What happens while the long reading goes on. */
  interface Wire {
    void on(SerialBench bench, Program program) throws Exception;
  }

  /** A run of the whole program, in this process, with instruments on serial lines. */
  final RunRecord wire(int number, String fault, String expected, Verdict verdict, Wire happens)
      throws Exception {
    return wire(number, fault, expected, verdict, FaultRows::reading, happens);
  }

  /** The same with another layout, whose third step is called "long reading" too. */
  final RunRecord wire(
      int number, String fault, String expected, Verdict verdict, Layout layout, Wire happens)
      throws Exception {
    return onWires(number, fault, expected, verdict, own -> layout.in(own).inside(), happens);
  }

  /** The same in a process of its own, to which a signal is sent. */
  final RunRecord signalled(
      int number, String fault, String expected, Verdict verdict, Wire happens) throws Exception {
    return signalled(number, fault, expected, verdict, FaultRows::reading, happens);
  }

  /** Likewise with another layout. */
  final RunRecord signalled(
      int number, String fault, String expected, Verdict verdict, Layout layout, Wire happens)
      throws Exception {
    return onWires(number, fault, expected, verdict, layout, happens);
  }

  private static SerialBench reading(Path own) throws Exception {
    return new SerialBench(own, "", SerialBench.LONG_READING);
  }

  private RunRecord onWires(
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
      assertThat(record.reason().isEmpty()).as(fault).isEqualTo(verdict == Verdict.PASS);
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
