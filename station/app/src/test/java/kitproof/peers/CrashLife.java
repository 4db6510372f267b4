package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.Stream;

/**
 * One life of a {@link CrashVictim}, ended by SIGKILL.
 *
 * @param printed all that was read of it
 * @param phase in which the kill came
 * @param loadSwitched whether the relay of a load was energised then
 */
record CrashLife(List<String> printed, Phase phase, boolean loadSwitched) {
  /** More than one run prints, so that kills come between two runs as well. */
  private static final int LINES = 54;

  /** So many come before mains; a quarter of the kills are among them. */
  private static final int FIRST_LINES = 8;

  private static final int MORE_NANOS = 3_000_000;

  /** What the bench was doing when the kill came, as relays and journal show it. */
  enum Phase {
    BEFORE_MAINS("before mains or between runs"),
    MAINS_ON("with mains on"),
    DRIVING("driving"),
    SHUT_DOWN("in the shut-down");

    private final String words;

    Phase(String words) {
      this.words = words;
    }

    @Override
    public String toString() {
      return words;
    }
  }

  /**
   * Starts a station and kills it after some of its lines, where it waits for this, or a little
   * later. Without the wait all kills would come late on a busy machine.
   *
   * @param command without the last two arguments of a victim
   * @param seed for the moment of the kill
   */
  static CrashLife lived(List<String> command, Path relays, Path journals, long seed)
      throws IOException, InterruptedException {
    // Of the other kind the first numbers are much alike where seeds are.
    SplittableRandom random = new SplittableRandom(seed);
    int lines = 1 + random.nextInt(random.nextInt(4) == 0 ? FIRST_LINES : LINES);
    boolean goesOn = random.nextInt(3) > 0;
    long more = random.nextInt(MORE_NANOS);
    List<String> whole = new ArrayList<>(command);
    whole.add(Integer.toString(Integer.MAX_VALUE));
    whole.add(Integer.toString(lines));
    Process station = new ProcessBuilder(whole).redirectErrorStream(true).start();
    List<String> printed = new ArrayList<>();
    boolean killed = false;
    try (BufferedReader out = station.inputReader(StandardCharsets.UTF_8)) {
      for (String line = out.readLine(); line != null; line = out.readLine()) {
        printed.add(line);
        if (printed.size() >= lines && !killed) {
          if (goesOn) {
            station.getOutputStream().write('\n');
            station.getOutputStream().flush();
            LockSupport.parkNanos(more);
          }
          station.destroyForcibly();
          killed = true;
        }
      }
    } catch (IOException closedByTheKill) {
      assertThat(killed).isTrue();
    }
    assertThat(station.waitFor(60, TimeUnit.SECONDS)).isTrue();
    assertThat(killed).as("killed, not ended: %s", printed).isTrue();
    Set<String> on = Files.exists(relays) ? CrashVictim.energised(relays) : Set.of();
    return new CrashLife(printed, phase(on, journals), on.contains(CrashVictim.LOAD_RELAY));
  }

  private static Phase phase(Set<String> on, Path journals) throws IOException {
    if (on.stream().anyMatch(CrashVictim.DRIVE_RELAYS::contains)) {
      return Phase.DRIVING;
    }
    if (on.contains(CrashVictim.MAINS_RELAY)) {
      return Phase.MAINS_ON;
    }
    String last = newest(journals);
    boolean shuttingDown =
        last.lines()
                .anyMatch(l -> l.contains("step-started") && l.contains("\"step\":\"discharge\""))
            && !last.contains("run-ended");
    return shuttingDown ? Phase.SHUT_DOWN : Phase.BEFORE_MAINS;
  }

  private static String newest(Path journals) throws IOException {
    if (!Files.isDirectory(journals)) {
      return "";
    }
    try (Stream<Path> files = Files.list(journals)) {
      Optional<Path> last =
          files.filter(f -> f.toString().endsWith(".jsonl")).max(Comparator.naturalOrder());
      return last.isEmpty() ? "" : Files.readString(last.get());
    }
  }

  /** The ids of the events that it said were on the disk. */
  List<String> flushed() {
    return printed.stream().filter(l -> l.matches(".*-LN12-001/[0-9]+")).toList();
  }

  /** The run that the kill came in; empty if none had begun, or the next had not said so. */
  String cutShort() {
    return flushed().stream().reduce((a, b) -> b).map(CrashLife::runOf).orElse("");
  }

  static String runOf(String id) {
    return id.substring(0, id.lastIndexOf('/'));
  }

  /** Whether it came as far as having commanded the safe state; the relays then. */
  String safe() {
    return line("safe ");
  }

  /** Whether it came as far as having put in order what the life before had left. */
  boolean inOrder() {
    return printed.contains(CrashVictim.IN_ORDER);
  }

  /** Whether it ended a run before it had commanded the safe state, and read it back. */
  boolean endedUnsafely() {
    for (String line : printed) {
      if (line.equals(CrashVictim.SAFE_START)) {
        return false;
      }
      if (line.startsWith(CrashVictim.ENDED)) {
        return true;
      }
    }
    return false;
  }

  /** Whether relays were energised when it opened them. */
  boolean foundEnergised() {
    return !line("found ").isEmpty() && !line("found ").equals("found []");
  }

  private String line(String beginning) {
    return printed.stream().filter(l -> l.startsWith(beginning)).findFirst().orElse("");
  }
}
