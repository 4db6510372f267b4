package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;

/** A folder with a plan, a bench and a limit file, as a user writes them, and with the records. */
final class Scene {
  private final Path folder;
  private String broker = "";
  private Map<String, String> environment = Map.of();
  private List<String> more = List.of();
  private boolean inside;
  private String plugins = "";

  Scene(Path folder) {
    this.folder = folder;
  }

  /** Writes the bench file. */
  Scene bench(String roles) throws IOException {
    write("bench.yaml", "bench: peers\nshop: attic\nstation: bench-7\n" + roles);
    return this;
  }

  /** Writes the plan; its limits are those of this scene. */
  Scene plan(String steps) throws IOException {
    write(
        "plan.yaml", "plan: peers\nproduct: Linnet 12\nrevision: B\nlimits: limits.yaml\n" + steps);
    return this;
  }

  /** Writes the limits. */
  Scene limits(String entries) throws IOException {
    write(
        "limits.yaml",
        "limits: peers\nproduct: Linnet 12\nrevision: B\nrule: simple acceptance\njudge:\n"
            + entries);
    return this;
  }

  /** Results go to this broker; without it to the one in the program. */
  Scene broker(int port) {
    broker = "mqtt://127.0.0.1:" + port;
    return this;
  }

  /** The program takes its plugins from this folder. */
  Scene plugins(Path from) {
    plugins = from.toString();
    return this;
  }

  /** The program plays on the sound server that this file names. */
  Scene sound(Path alsaConfiguration) {
    environment = Map.of("ALSA_CONFIG_PATH", alsaConfiguration.toString());
    return this;
  }

  /** The run is compared with this record. */
  Scene reference(Path record) {
    more = List.of("--reference", record.toString());
    return this;
  }

  /** From now on it runs in the test's own process, where it starts sooner. */
  Scene inside() {
    inside = true;
    return this;
  }

  private void write(String name, String text) throws IOException {
    Files.writeString(folder.resolve(name), text);
  }

  /** Starts a run. */
  Program start(String unit) throws IOException {
    return inside
        ? ProgramInside.start(folder, arguments(unit))
        : Program.start(folder, arguments(unit), environment);
  }

  /** Starts a run on a terminal of its own; an empty unit is asked for there. */
  Program startOnTerminal(String unit) throws IOException {
    return Program.startOnTerminal(folder, arguments(unit));
  }

  /** What the program is told for a run. */
  List<String> arguments(String unit) {
    List<String> arguments =
        new ArrayList<>(
            List.of(
                "run",
                folder.resolve("plan.yaml").toString(),
                "--bench",
                folder.resolve("bench.yaml").toString(),
                "--records",
                records().toString(),
                "--uncalibrated"));
    if (!unit.isEmpty()) {
      arguments.addAll(List.of("--unit", unit));
    }
    if (!plugins.isEmpty()) {
      arguments.addAll(List.of("--plugins", plugins));
    }
    if (!broker.isEmpty()) {
      arguments.addAll(List.of("--broker", broker));
    }
    arguments.addAll(more);
    return arguments;
  }

  /** Runs to the end and returns the record, after a look at what the program said and returned. */
  RunRecord run(String unit, Verdict verdict) throws IOException, InterruptedException {
    try (Program program = start(unit)) {
      return ended(program, unit, verdict);
    }
  }

  /** The record of a run that is about to end so, as the program says, returns and writes. */
  RunRecord ended(Program program, String unit, Verdict verdict)
      throws IOException, InterruptedException {
    int code = program.exitCode();
    String printed = program.printed();
    assertThat(code).as(printed).isEqualTo(verdict.exitCode());
    assertThat(printed.strip().lines().reduce((a, b) -> b).orElse(""))
        .as(printed)
        .startsWith(unit + ": " + verdict.name() + "   record: ");
    RunRecord record = record(unit);
    assertThat(record.verdict()).isEqualTo(verdict);
    return record;
  }

  /** The record of the one run of this unit. */
  RunRecord record(String unit) throws IOException {
    List<RunRecord> found = new ArrayList<>();
    try (Stream<Path> files = Files.list(records())) {
      for (Path file : files.filter(f -> f.toString().endsWith(".json")).toList()) {
        RunRecord record = RecordDocument.read(file);
        if (record.unit().equals(unit)) {
          found.add(record);
        }
      }
    }
    assertThat(found).as("records of %s", unit).hasSize(1);
    return found.get(0);
  }

  Path records() {
    return folder.resolve("records");
  }
}
