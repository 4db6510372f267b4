package kitproof.run;

import java.time.Duration;

/**
 * How long things may take, in real time.
 *
 * @param open opening one instrument
 * @param call one call of an instrument, beyond the time of a signal it plays
 * @param safe one instrument's way to its safe state
 * @param stall no sign of life from the sequencer for this long is a stall
 */
public record Deadlines(Duration open, Duration call, Duration safe, Duration stall) {
  /** What serves a bench with serial instruments. */
  public static final Deadlines USUAL =
      new Deadlines(
          Duration.ofSeconds(20),
          Duration.ofSeconds(15),
          Duration.ofSeconds(5),
          Duration.ofSeconds(20));
}
