package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;

/**
 * Starts the same Java program again and again, quickly: its classes are kept in an archive that
 * the virtual machine maps instead of loading them (class-data sharing of JDK 13 and later, JEP
 * 350).
 *
 * <p>Such an archive takes classes from jars only, so folders of the class path are packed first.
 */
final class SharedClasses {
  private final Path archive;
  private final String classPath;
  private final Class<?> program;

  /**
   * Runs the program once, to its end, and keeps the classes it has used.
   *
   * @param folder for jars and archive
   * @param arguments with which it ends by itself
   */
  SharedClasses(Path folder, Class<?> program, List<String> arguments)
      throws IOException, InterruptedException {
    this.program = program;
    this.archive = folder.resolve("classes.jsa");
    this.classPath = jars(folder);
    Path said = folder.resolve("first.txt");
    Process first =
        new ProcessBuilder(command("-XX:ArchiveClassesAtExit=" + archive, arguments))
            .redirectErrorStream(true)
            .redirectOutput(said.toFile())
            .start();
    assertThat(first.waitFor(2, TimeUnit.MINUTES)).isTrue();
    assertThat(first.exitValue()).as(Files.readString(said)).isZero();
    assertThat(archive).isRegularFile();
  }

  /** The command that starts it with these arguments. */
  List<String> command(List<String> arguments) {
    return command("-XX:SharedArchiveFile=" + archive, arguments);
  }

  private List<String> command(String sharing, List<String> arguments) {
    List<String> command =
        new ArrayList<>(
            List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx64m",
                "-XX:+UseSerialGC",
                "-XX:TieredStopAtLevel=1",
                sharing,
                "-cp",
                classPath,
                program.getName()));
    command.addAll(arguments);
    return command;
  }

  /** This process' class path, of jars only. */
  private static String jars(Path folder) throws IOException {
    List<String> jars = new ArrayList<>();
    for (String entry : System.getProperty("java.class.path").split(File.pathSeparator, -1)) {
      Path path = Path.of(entry);
      if (!Files.isDirectory(path)) {
        jars.add(entry);
      } else {
        Path jar = folder.resolve("classes-" + jars.size() + ".jar");
        pack(path, jar);
        jars.add(jar.toString());
      }
    }
    return String.join(File.pathSeparator, jars);
  }

  private static void pack(Path classes, Path jar) throws IOException {
    try (JarOutputStream out = new JarOutputStream(Files.newOutputStream(jar));
        Stream<Path> files = Files.walk(classes)) {
      out.setLevel(0);
      for (Path file : files.filter(Files::isRegularFile).sorted().toList()) {
        out.putNextEntry(
            new JarEntry(classes.relativize(file).toString().replace(File.separatorChar, '/')));
        Files.copy(file, out);
      }
    }
  }
}
