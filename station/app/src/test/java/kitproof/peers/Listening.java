package kitproof.peers;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.peer.SoundServer;
import org.jspecify.annotations.Nullable;

/** A way for what is played to come back on which something befalls it, outside the program. */
final class Listening implements AutoCloseable {
  private final Path folder;
  private final int rateHz;
  private final int lose;
  private @Nullable Process process;

  /**
   * Not in place yet.
   *
   * @param rateHz at which samples are taken; they are given as if at 48 kHz
   * @param lose of so many frames each time four are lost; 0 for none
   */
  Listening(Path folder, int rateHz, int lose) {
    this.folder = folder;
    this.rateHz = rateHz;
    this.lose = lose;
  }

  /** From now on captures come this way. */
  void inPlace(SoundServer server) {
    Path pipe = folder.resolve("captured");
    Path script = folder.resolve("listening.py");
    try (InputStream in = Listening.class.getResourceAsStream("listening.py")) {
      Files.write(script, in.readAllBytes());
      server.captureFrom(pipe);
      String command =
          server.played(rateHz) + " | exec python3 " + script + " " + pipe + " " + lose;
      process =
          new ProcessBuilder("sh", "-c", command)
              .redirectErrorStream(true)
              .redirectOutput(folder.resolve("listening.txt").toFile())
              .start();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public void close() {
    if (process != null) {
      process.descendants().forEach(ProcessHandle::destroyForcibly);
      process.destroyForcibly();
    }
  }
}
