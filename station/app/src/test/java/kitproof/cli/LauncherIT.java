package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * {@code station/bin/kitproof} starts from what it has kept and, where that does not fit or cannot
 * be, starts all the same, and says nothing that the program does not say.
 */
class LauncherIT {
  private static final String SAYS = "kitproof 0.1.0-SNAPSHOT\n";
  private static final String ORDINARY = "-Xmx256m -XX:+UseSerialGC";
  private static final String KEPT = "source: shared objects file (top)";

  @TempDir static Path home;
  private static Path kept;
  private static byte[] sound;

  /** Whatever a test has put in its place. */
  @AfterEach
  void mend() throws IOException {
    put(sound);
  }

  private record Started(int code, String out, String err) {}

  /**
   * A program that is built: the launcher, the jars, the examples, and nothing to build it from.
   */
  @BeforeAll
  static void build() throws Exception {
    Path target = Files.createDirectories(home.resolve("station/app/target"));
    Path built = Cli.HOME.resolve("station/app/target");
    Files.createSymbolicLink(target.resolve("lib"), built.resolve("lib"));
    Path jar = target.resolve("kitproof-app-0.1.0-SNAPSHOT.jar");
    Files.copy(built.resolve(jar.getFileName()), jar);
    for (String folder : List.of("shared", "drivers", "station/core", "station/bin")) {
      Files.createDirectories(home.resolve(folder));
    }
    Files.createFile(home.resolve("pom.xml"));
    Files.createSymbolicLink(home.resolve("limits"), Cli.HOME.resolve("limits"));
    Files.createSymbolicLink(
        home.resolve("station/examples"), Cli.HOME.resolve("station/examples"));
    Files.copy(Cli.HOME.resolve("station/bin/kitproof"), launcher());
    Files.createFile(target.resolve("kitproof.built"));
    Started first = start(Map.of(), "--version");
    assertThat(first.out).isEqualTo(SAYS);
    assertThat(first.err).contains("preparing a quick start").doesNotContain("Exception");
    kept = archives().get(0);
    sound = Files.readAllBytes(kept);
  }

  private static Path launcher() {
    return home.resolve("station/bin/kitproof");
  }

  private static Path folder() {
    return home.resolve("station/app/target/start");
  }

  private static List<Path> archives() throws IOException {
    try (Stream<Path> files = Files.list(folder())) {
      return files.filter(file -> file.toString().endsWith(".jsa")).sorted().toList();
    }
  }

  private static Started start(Map<String, String> environment, String... arguments)
      throws IOException, InterruptedException {
    List<String> command = new ArrayList<>(List.of(launcher().toString()));
    command.addAll(List.of(arguments));
    Path out = home.resolve("out");
    Path err = home.resolve("err");
    ProcessBuilder builder =
        new ProcessBuilder(command).redirectOutput(out.toFile()).redirectError(err.toFile());
    builder.environment().remove("KITPROOF_JAVA_OPTIONS");
    builder.environment().putAll(environment);
    Process process = builder.start();
    assertThat(process.waitFor(6, TimeUnit.MINUTES)).isTrue();
    return new Started(process.exitValue(), Files.readString(out), Files.readString(err));
  }

  private static void put(byte[] archive) throws IOException {
    Files.delete(kept); // it is read-only
    Files.write(kept, archive);
  }

  /** The program starts and says what it always says; whether from what was kept. */
  private static boolean startsFromWhatWasKept() throws Exception {
    Path loaded = home.resolve("loaded");
    Started started =
        start(
            Map.of("KITPROOF_JAVA_OPTIONS", ORDINARY + " -Xlog:class+load:file=" + loaded),
            "--version");
    assertThat(started).isEqualTo(new Started(0, SAYS, ""));
    try (Stream<String> lines = Files.lines(loaded)) {
      return lines.anyMatch(line -> line.contains("kitproof.cli.Commands ") && line.contains(KEPT));
    }
  }

  @Test
  void theSecondStartIsFromWhatTheFirstHasKept() throws Exception {
    assertThat(archives()).hasSize(1);
    assertThat(startsFromWhatWasKept()).isTrue();
    Started wrong = start(Map.of(), "chekc");
    assertThat(wrong.code).isEqualTo(2);
    assertThat(wrong.err)
        .contains("found \"chekc\"", "did you mean \"check\"?")
        .doesNotContain("preparing");
    Started check = start(Map.of(), "check", Cli.example("plan.yaml").toString(), "--json");
    assertThat(check.code).isZero();
    assertThat(check.err).isEmpty();
    assertThat(check.out).startsWith("{");
  }

  @Test
  void whatAnotherJavaHasKeptIsLeftAlone() throws Exception {
    // The file's head names the Java that wrote it; this one comes from a build that there is not.
    String version = Runtime.version().toString().replaceFirst("-.*", "");
    String other = version.substring(0, version.length() - 1) + "~";
    byte[] foreign = sound.clone();
    byte[] name = version.getBytes(StandardCharsets.US_ASCII);
    int at = new String(foreign, 0, 4096, StandardCharsets.ISO_8859_1).indexOf(version);
    assertThat(at).as("the name of this Java in the head").isPositive();
    System.arraycopy(other.getBytes(StandardCharsets.US_ASCII), 0, foreign, at, name.length);
    put(foreign);
    assertThat(startsFromWhatWasKept()).isFalse();
  }

  @Test
  void whatIsNoArchiveOrHalfOfOneIsLeftAlone() throws Exception {
    for (byte[] broken :
        List.of(
            new byte[0],
            "no archive".getBytes(StandardCharsets.US_ASCII),
            java.util.Arrays.copyOf(sound, sound.length / 3))) {
      put(broken);
      assertThat(startsFromWhatWasKept()).as("%d bytes", broken.length).isFalse();
    }
  }

  @Test
  void whatWasKeptOfAnotherJarIsLeftAlone() throws Exception {
    Path jar = home.resolve("station/app/target/kitproof-app-0.1.0-SNAPSHOT.jar");
    FileTime before = Files.getLastModifiedTime(jar);
    Files.setLastModifiedTime(jar, FileTime.from(Instant.parse("2026-01-01T00:00:00Z")));
    assertThat(startsFromWhatWasKept()).isFalse();
    Files.setLastModifiedTime(jar, before);
    assertThat(startsFromWhatWasKept()).isTrue();
  }

  /** A program that was killed may have left the mains on: what takes them away starts at once. */
  @Test
  void whatCommandsTheSafeStateAsItStartsWaitsForNoPreparing() throws Exception {
    Path bin = Files.createDirectories(home.resolve("noting/bin"));
    Path java = bin.resolve("java");
    Path noted = home.resolve("noted");
    Files.writeString(java, "#!/bin/sh\necho \"$*\" >> '%s'\n".formatted(noted));
    assertThat(java.toFile().setExecutable(true)).isTrue();
    Map<String, String> there = Map.of("JAVA_HOME", bin.getParent().toString());
    List<String> commands = List.of("run", "serve", "calibrate", "selfcheck", "gauge-study");
    for (String command : commands) {
      assertThat(start(there, command)).isEqualTo(new Started(0, "", ""));
    }
    List<String> started = Files.readAllLines(noted);
    assertThat(started).hasSameSizeAs(commands);
    for (int i = 0; i < commands.size(); i++) {
      assertThat(started.get(i))
          .endsWith("kitproof.cli.Main " + commands.get(i))
          .doesNotContain("ArchiveClassesAtExit");
    }
    assertThat(start(there, "check").err).contains("preparing a quick start");
    assertThat(Files.readString(noted)).contains("ArchiveClassesAtExit");
  }

  /** Minutes in which a bench may stay as a killed program has left it: its person is told. */
  @Test
  void whoHasToWaitForABuildIsToldOfTheMainsThatMayBeOn() throws Exception {
    Path bin = Files.createDirectories(home.resolve("unbuilt/bin"));
    Path maven = bin.resolve("mvn");
    Files.writeString(maven, "#!/bin/sh\nexit 1\n");
    assertThat(maven.toFile().setExecutable(true)).isTrue();
    Map<String, String> there = Map.of("PATH", bin + ":" + System.getenv("PATH"));
    Path lib = home.resolve("station/app/target/lib");
    Path jars = Files.readSymbolicLink(lib);
    Path changed = Files.createFile(home.resolve("station/core/pom.xml"));
    Files.setLastModifiedTime(changed, FileTime.from(Instant.now().plusSeconds(60)));
    try {
      Started check = start(there, "check");
      assertThat(check.code).isEqualTo(4);
      assertThat(check.err).contains("building").doesNotContain("emergency stop");
      Started run = start(there, "run");
      assertThat(run.code).isEqualTo(4);
      assertThat(run.err).contains("If a run was killed", "use its emergency stop");
    } finally {
      Files.delete(changed);
      Files.deleteIfExists(lib);
      Files.createSymbolicLink(lib, jars);
    }
  }

  /** A Java of another place that does all but keep: it is asked once, and never again. */
  @Test
  void whereNothingCanBeKeptTheProgramStartsAllTheSame() throws Exception {
    Path bin = Files.createDirectories(home.resolve("another/bin"));
    Path java = bin.resolve("java");
    Path asked = home.resolve("asked");
    Files.writeString(
        java,
        "#!/bin/sh\ncase \"$*\" in *ArchiveClassesAtExit*) echo x >> '%s'; exit 1 ;; esac\nexec '%s' \"$@\"\n"
            .formatted(asked, Path.of(System.getProperty("java.home"), "bin", "java")));
    assertThat(java.toFile().setExecutable(true)).isTrue();
    Map<String, String> there = Map.of("JAVA_HOME", bin.getParent().toString());
    Started first = start(there, "--version");
    assertThat(first.code).isZero();
    assertThat(first.out).isEqualTo(SAYS);
    assertThat(start(there, "--version")).isEqualTo(new Started(0, SAYS, ""));
    assertThat(Files.readAllLines(asked)).hasSize(1);
    assertThat(archives()).containsExactly(kept);
    // As on a disk that cannot be written: the folder cannot be made.
    Path aside = home.resolve("aside");
    Files.move(folder(), aside);
    Files.createFile(folder());
    try {
      assertThat(start(Map.of(), "--version")).isEqualTo(new Started(0, SAYS, ""));
    } finally {
      Files.delete(folder());
      Files.move(aside, folder());
    }
    assertThat(startsFromWhatWasKept()).isTrue();
  }
}
