package kitproof.cli;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * The browser of whoever sits before this machine. There is none on a machine without a desktop, in
 * a session from elsewhere and where software is built; what is opened is only ever a convenience,
 * so nothing here fails.
 */
final class DesktopBrowser {
  private final Optional<List<String>> opener;
  private final Starter starter;

  /** Starts a program that is not waited for. */
  interface Starter {
    void start(List<String> command) throws IOException;
  }

  private DesktopBrowser(Optional<List<String>> opener, Starter starter) {
    this.opener = opener;
    this.starter = starter;
  }

  /** The one of this machine. */
  static DesktopBrowser find() {
    return of(System.getenv(), System.getProperty("os.name", ""), DesktopBrowser::start);
  }

  /**
   * What an environment tells.
   *
   * @param system the name of the operating system, as Java says it
   */
  static DesktopBrowser of(Map<String, String> environment, String system, Starter starter) {
    return new DesktopBrowser(opener(environment, system.toLowerCase(Locale.ROOT)), starter);
  }

  private static Optional<List<String>> opener(Map<String, String> environment, String system) {
    if (says(environment, "CI") || says(environment, "SSH_CONNECTION")) {
      return Optional.empty();
    }
    if (system.startsWith("windows")) {
      return Optional.of(List.of("rundll32", "url.dll,FileProtocolHandler"));
    }
    if (system.startsWith("mac")) {
      return Optional.of(List.of("open"));
    }
    if (!says(environment, "DISPLAY") && !says(environment, "WAYLAND_DISPLAY")) {
      return Optional.empty();
    }
    for (String folder : environment.getOrDefault("PATH", "").split(File.pathSeparator, -1)) {
      if (!folder.isEmpty() && Files.isExecutable(Path.of(folder, "xdg-open"))) {
        return Optional.of(List.of(Path.of(folder, "xdg-open").toString()));
      }
    }
    return Optional.empty();
  }

  private static boolean says(Map<String, String> environment, String name) {
    return !environment.getOrDefault(name, "").isEmpty();
  }

  private static void start(List<String> command) throws IOException {
    new ProcessBuilder(command)
        .redirectInput(ProcessBuilder.Redirect.from(new File(nothing())))
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .redirectError(ProcessBuilder.Redirect.DISCARD)
        .start();
  }

  private static String nothing() {
    return File.separatorChar == '\\' ? "NUL" : "/dev/null";
  }

  /**
   * Opens a page, if there is anybody to see it.
   *
   * @return whether a browser was asked to
   */
  boolean open(String address) {
    if (opener.isEmpty()) {
      return false;
    }
    List<String> command = new ArrayList<>(opener.get());
    command.add(address);
    try {
      starter.start(command);
      return true;
    } catch (IOException e) {
      return false; // the address has been printed
    }
  }
}
