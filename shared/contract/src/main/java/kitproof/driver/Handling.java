package kitproof.driver;

/**
 * How the unit came to be on the bench, where that is told: in a gauge study, whose question is
 * what it does to the figures. A simulated bench may connect the unit differently each time.
 *
 * @param appraiser who connected it; empty if not told
 * @param connection which connecting of it this is: the same one as long as nobody touches it
 * @param trial one run, unlike every other; empty if not told
 */
public record Handling(String appraiser, String connection, String trial) {
  /** Nothing is told. */
  public static final Handling UNTOLD = new Handling("", "", "");
}
