package kitproof.peer;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * A private PulseAudio whose null sink and its monitor are a full-duplex sound card with two
 * channels: what is played on ALSA's default device is captured there bit for bit.
 *
 * <p>Everything lives in one folder and nothing of the machine's own sound is touched. The JVM must
 * have been started with {@code ALSA_CONFIG_PATH} naming {@code asound.conf} in that folder, and
 * the server must have been started before the sound API is used for the first time. Needs Debian's
 * pulseaudio, pulseaudio-utils, libasound2-plugins and, for a device under test, swh-plugins and
 * ladspa-sdk.
 */
public final class SoundServer implements AutoCloseable {
  private static final Duration PATIENCE = Duration.ofSeconds(10);
  private static final String PACKAGES =
      "pulseaudio pulseaudio-utils libasound2-plugins swh-plugins ladspa-sdk";
  private static final String CARD = "bench";
  private static final String DEVICE = "dut";

  private final Path folder;
  private final ProcessHandle process;
  private @Nullable String device;

  private SoundServer(Path folder, ProcessHandle process) {
    this.folder = folder;
    this.process = process;
  }

  /**
   * Starts a server in the folder that this JVM's {@code ALSA_CONFIG_PATH} points into.
   *
   * @throws IllegalStateException if the variable is not set or the server does not start
   */
  public static SoundServer start() {
    String config = System.getenv("ALSA_CONFIG_PATH");
    if (config == null || config.isBlank()) {
      throw new IllegalStateException(
          "ALSA_CONFIG_PATH is not set: run the sound tests through Maven's failsafe plugin");
    }
    return start(Path.of(config).toAbsolutePath().resolve("..").normalize());
  }

  /** Starts a server in this folder, which is made if need be. */
  public static SoundServer start(Path folder) {
    try {
      SoundServerFiles.write(folder, CARD);
      endLeftOver(folder);
      run(
          folder,
          List.of(
              "pulseaudio",
              "-n",
              "-F",
              folder.resolve("default.pa").toString(),
              "--daemonize=yes",
              "--use-pid-file=yes",
              "--exit-idle-time=-1",
              "--realtime=no",
              "--high-priority=no"));
      ProcessHandle process =
          recorded(folder)
              .orElseThrow(() -> new IllegalStateException("the sound server ended at once"));
      Runtime.getRuntime().addShutdownHook(new Thread(process::destroyForcibly));
      return new SoundServer(folder, process);
    } catch (IOException e) {
      throw new IllegalStateException("the sound server did not start in " + folder, e);
    }
  }

  /**
   * Puts a LADSPA plugin between what is played and what is captured, in place of the one before.
   *
   * @param plugin the library's name, for example "harmonic_gen_1220"
   * @param label the plugin in it, for example "harmonicGen"
   * @param controls its control values in the plugin's order
   */
  public void insert(String plugin, String label, double... controls) {
    remove();
    device =
        pactl(
            "load-module",
            "module-ladspa-sink",
            "sink_name=" + DEVICE,
            "sink_master=" + CARD,
            "plugin=" + plugin,
            "label=" + label,
            "control=" + listed(controls));
    pactl("set-default-sink", DEVICE);
  }

  /**
   * Adds a LADSPA plugin under a name, beside what there is, for {@link #choosing}.
   *
   * @param after where its output goes: another one's name, or "" to be captured
   */
  public void add(String name, String after, String plugin, String label, double... controls) {
    var unused =
        pactl(
            "load-module",
            "module-ladspa-sink",
            "sink_name=" + name,
            "sink_master=" + (after.isEmpty() ? CARD : after),
            "plugin=" + plugin,
            "label=" + label,
            "control=" + listed(controls));
  }

  /** A shell command that puts one that was added between what is played and what is captured. */
  public String choosing(String name) {
    return client("pactl") + " set-default-sink " + (name.isEmpty() ? CARD : name);
  }

  /** The same, with each channel's gain before everything that is there, as a ratio. */
  public String trimming(String name, double left, double right) {
    return choosing(name)
        + " && "
        + client("pactl")
        + " set-sink-volume "
        + (CARD + " ")
        + (left + " " + right);
  }

  /** The beginning of a shell command of a client such as pactl or pacat. */
  public String client(String program) {
    return program + " --server=unix:" + folder.resolve("run/native");
  }

  /**
   * From now on what is captured comes from this pipe, which is made: samples of two channels in 32
   * bits, the lowest byte first, at the pace of whoever writes them and told as if at the card's
   * rate.
   */
  public void captureFrom(Path pipe) {
    var unused =
        pactl(
            "load-module",
            "module-pipe-source",
            "source_name=pipe",
            "file=" + pipe,
            "format=s32le",
            "rate=48000",
            "channels=2",
            "channel_map=stereo");
    var ignored = pactl("set-default-source", "pipe");
  }

  /** A shell command that gives what is played, as such samples at this rate, without an end. */
  public String played(int rateHz) {
    return client("parec")
        + " --raw --format=s32le --channels=2 --latency-msec=20 --rate="
        + rateHz
        + " --device="
        + CARD
        + ".monitor";
  }

  /** What {@code ALSA_CONFIG_PATH} must name in a process that is to play here. */
  public Path alsaConfiguration() {
    return folder.resolve("asound.conf");
  }

  /** Takes the device under test out again; nothing happens if there is none. */
  public void remove() {
    if (device != null) {
      pactl("set-default-sink", CARD);
      pactl("unload-module", device);
      device = null;
    }
  }

  /** Ends the server without a farewell, as a crash or a pulled plug would. */
  public void kill() {
    process.destroyForcibly();
    awaitEnd();
  }

  /**
   * Halts the server: it keeps its connections and answers nothing until it is thawed or killed.
   */
  public void freeze() {
    signal("STOP");
  }

  /** Lets a frozen server go on. */
  public void thaw() {
    signal("CONT");
  }

  /** The card stands still, as one that was unplugged: what comes in meanwhile is lost. */
  public void suspend() {
    pactl("suspend-sink", CARD, "1");
  }

  /** The card goes on. */
  public void resume() {
    pactl("suspend-sink", CARD, "0");
  }

  /** How many streams programs have open, in and out; one of a device under test is none. */
  public long streams() {
    return List.of("sink-inputs", "source-outputs").stream()
        .flatMap(kind -> pactl("list", "short", kind).lines())
        .filter(line -> !line.isBlank() && !line.contains("module-ladspa-sink"))
        .count();
  }

  private void signal(String name) {
    try {
      run(folder, List.of("kill", "-" + name, Long.toString(process.pid())));
    } catch (IOException e) {
      throw new IllegalStateException("no signal to the sound server", e);
    }
  }

  /** Ends the server; a second call does nothing. */
  @Override
  public void close() {
    process.destroy();
    if (!awaitEnd()) {
      kill();
    }
  }

  /** A test that was killed leaves its server behind, which would refuse the next one. */
  private static void endLeftOver(Path folder) throws IOException {
    recorded(folder)
        .filter(p -> p.info().command().filter(c -> c.endsWith("pulseaudio")).isPresent())
        .ifPresent(left -> new SoundServer(folder, left).kill());
    Files.deleteIfExists(folder.resolve("run/pid"));
  }

  private static Optional<ProcessHandle> recorded(Path folder) throws IOException {
    Path pid = folder.resolve("run/pid");
    return Files.exists(pid)
        ? ProcessHandle.of(Long.parseLong(Files.readString(pid).strip()))
        : Optional.empty();
  }

  private boolean awaitEnd() {
    try {
      process.onExit().get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      return true;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    } catch (ExecutionException | TimeoutException e) {
      return false;
    }
  }

  private static String listed(double... controls) {
    return Arrays.stream(controls).mapToObj(String::valueOf).collect(Collectors.joining(","));
  }

  private String pactl(String... words) {
    List<String> command = new ArrayList<>(List.of("pactl"));
    command.addAll(List.of(words));
    try {
      return run(folder, command).strip();
    } catch (IOException e) {
      throw new IllegalStateException("pactl " + String.join(" ", words), e);
    }
  }

  private static String run(Path folder, List<String> command) throws IOException {
    Path output = Files.createTempFile(folder, "command", ".txt");
    try {
      ProcessBuilder builder = new ProcessBuilder(command);
      builder.environment().putAll(SoundServerFiles.environment(folder));
      Process process = builder.redirectErrorStream(true).redirectOutput(output.toFile()).start();
      if (!process.waitFor(PATIENCE.toSeconds(), TimeUnit.SECONDS)) {
        process.destroyForcibly();
        throw new IOException(command.get(0) + " did not end: " + Files.readString(output));
      }
      String text = Files.readString(output);
      if (process.exitValue() != 0) {
        throw new IOException(command.get(0) + " failed: " + text);
      }
      return text;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("interrupted", e);
    } finally {
      Files.deleteIfExists(output);
    }
  }
}
