package kitproof.peers;

import static java.util.concurrent.TimeUnit.MILLISECONDS;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import kitproof.cli.Cli;

/**
 * The whole program in this process: it starts at once, and takes signals and being killed no
 * better than the test itself does. One at a time.
 */
final class ProgramInside extends Program {
  private final CompletableFuture<Integer> code;

  private ProgramInside(Path printed, CompletableFuture<Integer> code) {
    super(printed);
    this.code = code;
  }

  /** Starts it with these arguments; what it prints is kept in the folder. */
  static Program start(Path folder, List<String> arguments) throws IOException {
    Path printed = Files.createTempFile(folder, "printed", ".txt");
    PrintStream both =
        new PrintStream(Files.newOutputStream(printed), true, StandardCharsets.UTF_8);
    CompletableFuture<Integer> code = new CompletableFuture<>();
    Thread main =
        new Thread(
            () -> {
              try (both) {
                code.complete(Cli.run(both, both, arguments));
              } catch (RuntimeException | Error e) {
                code.completeExceptionally(e);
              }
            },
            "program");
    main.setDaemon(true);
    main.start();
    return new ProgramInside(printed, code);
  }

  @Override
  boolean isAlive() {
    return !code.isDone();
  }

  @Override
  int exitCode() throws IOException, InterruptedException {
    try {
      return code.get(PATIENCE.toMillis(), MILLISECONDS);
    } catch (TimeoutException e) {
      throw new AssertionError("it has not ended; it printed:\n" + printed(), e);
    } catch (ExecutionException e) {
      throw new AssertionError("it did not return; it printed:\n" + printed(), e);
    }
  }

  /** Waits for its end, as nothing else can end it. */
  @Override
  public void close() {
    try {
      var unused = code.handle((c, e) -> c).get(1, TimeUnit.MINUTES);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (ExecutionException | TimeoutException e) {
      assertThat(isAlive()).as("the program has ended").isFalse();
    }
  }
}
