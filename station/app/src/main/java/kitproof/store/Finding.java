package kitproof.store;

/**
 * Something that is not as it was written.
 *
 * @param record the run's name, or the file's where no run can be read
 * @param words what is wrong with it
 */
public record Finding(String record, String words) {
  /** "record …: it is missing". */
  @Override
  public String toString() {
    return "record " + record + ": " + words;
  }
}
