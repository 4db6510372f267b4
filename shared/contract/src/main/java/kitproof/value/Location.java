package kitproof.value;

/**
 * A place in a file.
 *
 * @param file the path as the user gave it
 * @param line from 1; 0 if only the file is known
 * @param column from 1; 0 if only the file is known
 */
public record Location(String file, int line, int column) {
  /** The file as a whole. */
  public static Location of(String file) {
    return new Location(file, 0, 0);
  }

  /** "plan.yaml:12:7", or the file alone. */
  @Override
  public String toString() {
    return line == 0 ? file : file + ":" + line + ":" + column;
  }
}
