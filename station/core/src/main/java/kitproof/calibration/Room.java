package kitproof.calibration;

/** What results of the room are called, in plans for calibrations and units alike. */
public final class Room {
  /** In degrees Celsius. */
  public static final String TEMPERATURE = "room temperature";

  /** Relative, in percent. */
  public static final String HUMIDITY = "room humidity";

  private Room() {}
}
