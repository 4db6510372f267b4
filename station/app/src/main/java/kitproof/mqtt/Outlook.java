package kitproof.mqtt;

import org.jspecify.annotations.Nullable;

/**
 * What a reader needs, beyond the runs themselves, to reckon when a batch will be done.
 *
 * @param planned how many units the batch will have, or 0 if nobody has said
 * @param batch which batch that is; null if it is whichever the station tests
 * @param pace bench seconds per real second: 1, but for a simulated bench; {@link #MEASURED} if
 *     nobody sets it
 * @param simulated whether the bench's time is not the calendar's
 * @param checkStandard serial number of what the station is checked by; null if it has none
 */
public record Outlook(
    int planned,
    @Nullable String batch,
    double pace,
    boolean simulated,
    @Nullable String checkStandard) {
  /** More units than any batch has. */
  public static final int LARGEST = 1_000_000;

  /** The pace of a simulated bench whose time passes as fast as the program computes. */
  public static final double MEASURED = 0;

  /** A real bench, and a batch of unknown size. */
  public static final Outlook UNKNOWN = new Outlook(0, 1);

  /** Of whichever batch, on a bench that is simulated if its time has another pace. */
  public Outlook(int planned, double pace) {
    this(planned, null, pace, pace != 1);
  }

  /** Of a station without a check standard. */
  public Outlook(int planned, @Nullable String batch, double pace, boolean simulated) {
    this(planned, batch, pace, simulated, null);
  }

  /** The same of a station that is checked by this; null for none. */
  public Outlook checkedBy(@Nullable String serial) {
    return new Outlook(planned, batch, pace, simulated, serial);
  }

  /** How many units this batch will have; 0 if nobody has said. */
  int planned(String of) {
    return batch == null || batch.equals(of) ? planned : 0;
  }

  /** The same, with what was measured of its pace. */
  Outlook paced(double measured) {
    return new Outlook(planned, batch, measured, simulated, checkStandard);
  }
}
