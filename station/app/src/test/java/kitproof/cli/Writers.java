package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import kitproof.store.Index;
import kitproof.store.IndexException;
import kitproof.store.IndexLogin;
import kitproof.store.IndexPlace;
import kitproof.store.Indexing;
import kitproof.store.PostgresPlace;

/**
 * Programs of their own that keep records in one folder at the same time, each bringing the index
 * up to the documents after every record, as stations do at a run's end.
 */
final class Writers {
  static final int EACH = 6;

  private Writers() {}

  /**
   * One of them.
   *
   * @param arguments folder of records; address of the index, empty beside them; its number; a file
   *     that begins the writing once it is there
   */
  public static void main(String[] arguments) throws Exception {
    Path records = Path.of(arguments[0]);
    int own = Integer.parseInt(arguments[2]);
    Files.writeString(Path.of(arguments[3] + "." + own), ""); // ready
    while (!Files.exists(Path.of(arguments[3]))) {
      Thread.onSpinWait();
    }
    for (int i = 1; i <= EACH; i++) {
      FaultyFolder.keep(records, own * EACH + i);
      String trouble = indexed(records, arguments[1]);
      System.out.println("kept " + i + (trouble.isEmpty() ? "" : ", but the index: " + trouble));
    }
    String trouble = indexed(records, arguments[1]);
    for (int tries = 1; !trouble.isEmpty() && tries < 30; tries++) { // on a machine that crawls
      trouble = indexed(records, arguments[1]);
    }
    if (!trouble.isEmpty()) {
      throw new IllegalStateException(trouble);
    }
  }

  private static String indexed(Path records, String address) throws IOException {
    IndexPlace place =
        address.isEmpty()
            ? IndexPlace.beside(records)
            : PostgresPlace.parse(address, new IndexLogin(System.getProperty("user.name"), null));
    try (Index index = Index.open(records, place)) {
      Indexing done = Indexing.catchUp(records, index, (looked, of) -> true);
      return done.findings().isEmpty() ? "" : done.findings().toString();
    } catch (IndexException e) {
      return String.valueOf(e.getMessage()); // the next record makes up for it
    }
  }

  /** Starts so many at once and waits for their end; what each has said. */
  static List<String> run(Path folder, Path records, String address, int number)
      throws IOException, InterruptedException {
    Path begin = folder.resolve("begin" + address.hashCode());
    List<Process> programs = new ArrayList<>();
    List<Path> said = new ArrayList<>();
    try {
      for (int i = 0; i < number; i++) {
        said.add(folder.resolve("writer-" + i + "-" + address.hashCode() + ".txt"));
        List<String> command =
            List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx128m",
                "-XX:+UseSerialGC",
                "-XX:TieredStopAtLevel=1",
                "-cp",
                System.getProperty("java.class.path"),
                Writers.class.getName(),
                records.toString(),
                address,
                Integer.toString(i),
                begin.toString());
        programs.add(
            new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(said.get(i).toFile())
                .start());
      }
      for (int i = 0; i < number; i++) {
        Path ready = Path.of(begin + "." + i);
        while (!Files.exists(ready) && programs.get(i).isAlive()) {
          Thread.onSpinWait();
        }
      }
      Files.writeString(begin, "");
      List<String> words = new ArrayList<>();
      for (int i = 0; i < number; i++) {
        boolean ended = programs.get(i).waitFor(3, TimeUnit.MINUTES);
        words.add(Files.readString(said.get(i)));
        assertThat(ended && programs.get(i).exitValue() == 0).as(words.get(i)).isTrue();
      }
      return words;
    } finally {
      programs.forEach(Process::destroyForcibly);
    }
  }
}
