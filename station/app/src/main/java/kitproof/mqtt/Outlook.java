package kitproof.mqtt;

/**
 * What a reader needs, beyond the runs themselves, to reckon when a batch will be done.
 *
 * @param planned how many units the batch will have, or 0 if nobody has said
 * @param pace bench seconds per real second: 1, but for a simulated bench shown at speed
 */
public record Outlook(int planned, double pace) {
  /** More units than any batch has. */
  public static final int LARGEST = 1_000_000;

  /** A real bench, and a batch of unknown size. */
  public static final Outlook UNKNOWN = new Outlook(0, 1);
}
