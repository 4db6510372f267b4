package kitproof.plan;

import kitproof.driver.Route;

/** How a step wants the mains. */
public enum Mains {
  OFF("off", Route.Purpose.MAINS_OFF),
  LIMITED("limited", Route.Purpose.MAINS_LIMITED),
  DIRECT("direct", Route.Purpose.MAINS_DIRECT);

  private final String word;
  private final Route.Purpose purpose;

  Mains(String word, Route.Purpose purpose) {
    this.word = word;
    this.purpose = purpose;
  }

  /** The purpose of the route that does it. */
  public Route.Purpose purpose() {
    return purpose;
  }

  /** The word in plans. */
  @Override
  public String toString() {
    return word;
  }
}
