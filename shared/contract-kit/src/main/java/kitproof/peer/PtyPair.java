package kitproof.peer;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/**
 * Two pseudo-terminals joined by socat: a serial cable without hardware.
 *
 * <p>{@link #unplug()} is a real hang-up for both ends; {@link #plug()} brings new terminals under
 * the same two names, as a USB adapter does.
 */
public final class PtyPair implements AutoCloseable {
  private final Path folder;
  private Peer socat;

  private PtyPair(Path folder) {
    this.folder = folder;
    this.socat = start();
  }

  public static PtyPair open() {
    try {
      return new PtyPair(Files.createTempDirectory("kitproof-pty"));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** The driver's end, a path such as a bench file names. */
  public String near() {
    return folder.resolve("near").toString();
  }

  /** The peer's end. */
  public String far() {
    return folder.resolve("far").toString();
  }

  /** Pulls the cable out. */
  public void unplug() {
    socat.close();
    remove(Path.of(near()));
    remove(Path.of(far()));
  }

  /** Puts it in again. */
  public void plug() {
    socat = start();
  }

  private Peer start() {
    Peer peer =
        Peer.start(
            "socat",
            List.of("socat", "pty,raw,echo=0,link=" + near(), "pty,raw,echo=0,link=" + far()));
    peer.await(
        "pair of pseudo-terminals",
        () -> Files.exists(Path.of(near())) && Files.exists(Path.of(far())));
    return peer;
  }

  private static void remove(Path path) {
    try {
      Files.deleteIfExists(path);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public void close() {
    unplug();
    remove(folder);
  }
}
