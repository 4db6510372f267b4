package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.SortedSet;
import kitproof.batch.RecordFolder;
import kitproof.batch.RunSource;
import kitproof.value.Nearest;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Where the records are, and a batch among them. */
final class RecordsOption {
  @Option(
      names = "--records",
      paramLabel = "DIR",
      defaultValue = "records",
      description = "Folder of journals and records (default: ${DEFAULT-VALUE}).")
  private Path folder = Path.of("");

  /** A folder that is there. */
  Path folder(CommandLine command) {
    if (!Files.isDirectory(folder)) {
      throw new ParameterException(
          command, "--records: found no folder \"" + folder + "\"; expected one with records");
    }
    return folder;
  }

  /** The folder as it was named, which may not be there yet. */
  Path named() {
    return folder;
  }

  RunSource source(CommandLine command) {
    return new RecordFolder(folder(command));
  }

  /**
   * The runs of a batch, one or more, found by the index beside the records if there is one; what
   * cannot be read is told.
   */
  RunSource.Found runs(CommandLine command, String name) throws IOException {
    RunSource source = source(command);
    Optional<RunSource.Found> indexed = FolderIndex.runs(command, folder, name);
    RunSource.Found found = indexed.isPresent() ? indexed.get() : source.runs(name);
    if (found.runs().isEmpty()) {
      SortedSet<String> names = source.batches();
      String hint = Nearest.to(name, names).map(n -> "; did you mean \"" + n + "\"?").orElse("");
      throw new ParameterException(
          command,
          "found no batch \""
              + name
              + "\" in "
              + folder
              + "; expected "
              + (names.isEmpty() ? "a run with --batch" : "one of " + String.join(", ", names))
              + hint);
    }
    tell(command, found);
    return found;
  }

  static void tell(CommandLine command, RunSource.Found found) {
    PrintWriter errors = command.getErr();
    found.unreadable().forEach(trouble -> errors.println("not read: " + trouble));
    errors.flush();
  }
}
