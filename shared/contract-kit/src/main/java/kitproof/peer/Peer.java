package kitproof.peer;

import java.io.BufferedReader;
import java.io.BufferedWriter;
import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;

/**
 * A program started for one test.
 *
 * <p>What it prints on its standard error goes to a file that is shown if it fails. It is killed
 * when the test closes it, or when the test's virtual machine ends.
 */
public final class Peer implements AutoCloseable {
  private static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(20);

  private final String name;
  private final Process process;
  private final Path complaints;
  private final BufferedReader answers;
  private final BufferedWriter orders;
  private final Thread killer;

  private Peer(String name, Process process, Path complaints) {
    this.name = name;
    this.process = process;
    this.complaints = complaints;
    this.answers = process.inputReader(StandardCharsets.UTF_8);
    this.orders = process.outputWriter(StandardCharsets.UTF_8);
    this.killer = new Thread(process::destroyForcibly, "kill " + name);
    Runtime.getRuntime().addShutdownHook(killer);
  }

  /** Starts a program that must be installed; says which Debian package brings it if not. */
  public static Peer start(String debianPackage, List<String> command) {
    if (find(command.get(0)) == null) {
      throw new IllegalStateException(
          command.get(0)
              + " is not installed; on Debian: apt-get install -y --no-install-recommends "
              + debianPackage);
    }
    try {
      Path complaints = Files.createTempFile("kitproof-peer", ".log");
      complaints.toFile().deleteOnExit();
      Process process = new ProcessBuilder(command).redirectError(complaints.toFile()).start();
      return new Peer(command.get(0), process, complaints);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Starts a Python program that lies beside this class; it prints "ready" when it is. */
  public static Peer python(String debianPackages, String script, String... arguments) {
    try (InputStream in = Peer.class.getResourceAsStream(script)) {
      if (in == null) {
        throw new IllegalStateException("no " + script + " beside " + Peer.class);
      }
      Path file = Files.createTempFile("kitproof-peer", ".py");
      file.toFile().deleteOnExit();
      Files.write(file, in.readAllBytes());
      List<String> command = new java.util.ArrayList<>(List.of("/usr/bin/python3", "-u"));
      command.add(file.toString());
      command.addAll(List.of(arguments));
      Peer peer = start(debianPackages, command);
      String first = peer.answer();
      if (!first.equals("ready")) {
        peer.close();
        throw new IllegalStateException(
            first + "; Debian packages wanted: " + debianPackages + "\n" + peer.complaints());
      }
      return peer;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static @Nullable File find(String program) {
    if (program.contains("/")) {
      File file = new File(program);
      return file.canExecute() ? file : null;
    }
    String path = System.getenv("PATH");
    for (String folder : (path == null ? "" : path).split(File.pathSeparator, -1)) {
      File file = new File(folder, program);
      if (file.canExecute()) {
        return file;
      }
    }
    return null;
  }

  /** Writes a line to its standard input and returns the line it prints. */
  public synchronized String order(String line) {
    try {
      orders.write(line);
      orders.newLine();
      orders.flush();
    } catch (IOException e) {
      throw new IllegalStateException(name + " is gone\n" + complaints(), e);
    }
    return answer();
  }

  private String answer() {
    try {
      String line = answers.readLine();
      if (line == null) {
        throw new IllegalStateException(name + " ended\n" + complaints());
      }
      return line;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Waits until the condition holds, looking every 5 ms; fails if the program ends first. */
  public void await(String what, BooleanSupplier condition) {
    long start = System.nanoTime();
    while (!condition.getAsBoolean()) {
      if (!process.isAlive() || System.nanoTime() - start > PATIENCE_NANOS) {
        throw new IllegalStateException(name + ": no " + what + "\n" + complaints());
      }
      try {
        Thread.sleep(5);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        throw new IllegalStateException("interrupted", e);
      }
    }
  }

  /** What it printed on its standard error. */
  public String complaints() {
    try {
      return Files.readString(complaints, StandardCharsets.UTF_8);
    } catch (IOException e) {
      return e.toString();
    }
  }

  public boolean isAlive() {
    return process.isAlive();
  }

  /** Kills it as a power cut would, and waits until it is dead. */
  public void kill() {
    process.destroyForcibly();
    try {
      process.waitFor();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    kill();
    try {
      Runtime.getRuntime().removeShutdownHook(killer);
    } catch (IllegalStateException e) {
      // The virtual machine is ending; the hook has run or will.
    }
  }
}
