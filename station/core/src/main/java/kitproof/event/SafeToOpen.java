package kitproof.event;

/** Whether a unit may be opened. */
public enum SafeToOpen {
  /** Mains is on, or the HV rail has not been seen to be discharged. */
  NO("no"),
  /** The HV rail has been read below the plan's safe figure several times, with the mains off. */
  YES("yes"),
  /** Mains has been on and the HV rail could not be read since: treat as live. */
  UNKNOWN("unknown");

  private final String word;

  SafeToOpen(String word) {
    this.word = word;
  }

  /** The word in files and on screens. */
  @Override
  public String toString() {
    return word;
  }
}
