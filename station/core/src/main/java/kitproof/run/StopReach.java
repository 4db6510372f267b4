package kitproof.run;

/** How far a request to stop reaches. */
public enum StopReach {
  /** The steps only: the discharge is watched to its end, whenever the request comes. */
  STEPS,

  /**
   * The watch over the discharge too, after which nobody knows whether the unit is safe to open.
   */
  WATCH_TOO
}
