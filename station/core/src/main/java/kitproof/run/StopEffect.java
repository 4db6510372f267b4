package kitproof.run;

/** What a request to stop has come to. */
public enum StopEffect {
  /** Nothing was begun yet, and nothing will be. */
  NOTHING_BEGUN,

  /** No step goes on; if mains has been on, the discharge is watched. */
  STEPS_ENDED,

  /** The steps were over already; mains is off and the discharge is watched all the same. */
  WATCH_GOES_ON,

  /** Nothing is watched any more: treat the unit as live. */
  WATCH_ENDED,

  /** The run was over, the bench at rest and its instruments closed. */
  TOO_LATE
}
