package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.ModbusSlave;
import org.junit.jupiter.api.Test;

/** Faults of the disk that a run is recorded on: file systems of their own, mounted for it. */
class DiskFaultsIT extends FaultRows {
  private static final Set<Integer> AT_REST = Set.of();

  DiskFaultsIT() {
    super(FaultTable.Section.DISK);
  }

  @Test
  void recordsReadOnly() throws Exception {
    int number = 40;
    Path own = own(number);
    try (SerialBench bench = new SerialBench(own, "", SerialBench.LONG_READING);
        Tmpfs disk = Tmpfs.on(bench.scene.records(), 1)) {
      bench.scene.broker(Aftermath.nobody());
      Files.createDirectory(bench.scene.records().resolve("journals"));
      disk.readOnly();
      try (Program program = bench.scene.start(unit(number))) {
        assertThat(program.exitCode()).as(program.printed()).isEqualTo(4);
        String said = Aftermath.lastLine(program);
        assertThat(said).contains("Read-only file system");
        assertThat(bench.slave.history()).as("nothing was ever energised").containsOnly(AT_REST);
        table.put(
            number,
            "records folder read-only (a file system mounted so)",
            "refused before a relay moves: what cannot be recorded is not begun, so there is no"
                + " record",
            "exit code 4; no relay has moved; “" + said + "”");
      }
    }
  }

  @Test
  void diskFullForGood() throws Exception {
    int number = 41;
    Path own = own(number);
    try (SerialBench bench = new SerialBench(own, "", Aftermath.SHORT_STEPS);
        Tmpfs disk = Tmpfs.on(bench.scene.records(), 16)) {
      bench.scene.broker(Aftermath.nobody());
      String said;
      Path filler;
      try (Program program = bench.scene.start(unit(number))) {
        program.awaitPrinted("3/103  again 0");
        filler = disk.fill();
        assertThat(program.exitCode()).as(program.printed()).isEqualTo(4);
        said = Aftermath.lastLine(program);
      }
      assertThat(said).contains("No space left on device", "treat the unit as live");
      assertThat(bench.slave.coilsOn()).isEmpty();
      assertThat(bench.slave.history()).contains(Set.of(Rail.MAINS, Rail.LIMITER_BYPASS));
      Files.delete(filler);
      RunRecord record = Aftermath.recovered(bench.scene, unit(number));
      assertThat(Results.value(record, "hv")).isPositive();
      table.put(
          number,
          "disk full while the journal is written, and for good (a real small disk)",
          "error, mains off, HV called unknown; the next start, with room again, ends the record",
          "exit code 4; relays at rest; “" + said + "”; " + Aftermath.laterSeen(record));
    }
  }

  @Test
  void diskFullForAMoment() throws Exception {
    int number = 24;
    try (SerialBench bench = new SerialBench(own(number), "", Aftermath.SHORT_STEPS).inside();
        Tmpfs disk = Tmpfs.on(bench.scene.records(), 16)) {
      bench.scene.broker(Aftermath.nobody());
      try (Program program = bench.scene.start(unit(number))) {
        program.awaitPrinted("3/103  again 0");
        Path filler = disk.fill();
        // the moment ends with the mains: the contacts themselves make room as they open
        bench.slave.wire(
            List.of(
                new ModbusSlave.Wire(Set.of(), List.of("rm", "-f", filler.toString())),
                new ModbusSlave.Wire(Set.of(Rail.MAINS), List.of("true"))));
        RunRecord record = bench.scene.ended(program, unit(number), Verdict.ERROR);
        assertThat(bench.slave.coilsOn()).isEmpty();
        assertThat(bench.slave.history()).contains(Set.of(Rail.MAINS, Rail.LIMITER_BYPASS));
        assertThat(record.reason()).contains("No space left on device");
        assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
        assertThat(Results.value(record, "hv")).isPositive();
        table.put(
            number,
            "disk full while the journal is written, until the mains goes (a real small disk)",
            "error, mains off, HV called unknown; the end is on record, as there is room again",
            FaultTable.ended(record)
                + "; relays at rest; “"
                + FaultTable.plain(record.reason())
                + "”");
      }
    }
  }
}
