package kitproof.cli;

import java.nio.file.Path;

/**
 * Where the program's own files are: plugins, examples.
 *
 * @param folder the folder that has station, drivers and limits
 */
record Home(Path folder) {
  /** As the start script says, or the folder we stand in. */
  static Home find() {
    return new Home(Path.of(System.getProperty("kitproof.home", "")).toAbsolutePath());
  }

  Path plugins() {
    return folder.resolve("station").resolve("plugins");
  }

  Path example(String name) {
    return folder.resolve("station").resolve("examples").resolve("linnet-12").resolve(name);
  }
}
