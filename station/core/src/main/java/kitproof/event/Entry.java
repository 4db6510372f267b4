package kitproof.event;

import java.time.Instant;

/**
 * An event with its place in the run.
 *
 * @param run the run's name
 * @param sequence from 0, without gaps
 * @param time calendar time, for people
 * @param event what happened
 */
public record Entry(String run, long sequence, Instant time, Event event) {
  /** A name that is the same each time this entry is told, so that repeats are harmless. */
  public String id() {
    return run + "/" + sequence;
  }
}
