package kitproof.driver.simulated;

import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;

/**
 * Turns one trimmer towards the middle of the window: a little, then a look at what it did, then by
 * the slope seen so far (a secant), never far at once.
 */
final class Turning {
  private static final double FIRST = 0.03;
  private static final double FARTHEST = 0.15;
  private static final long SETTLING_NANOS = 700_000_000;

  private final Question.Adjustment wanted;
  private final Trimmer trimmer;
  private final Bench bench;
  private final BenchClock clock;
  private long turnedNanos;
  private double positionBefore = Double.NaN;
  private double valueBefore = Double.NaN;
  private double slope = Double.NaN;
  private int atTheEnd;

  Turning(Question.Adjustment wanted, Trimmer trimmer, Bench bench, BenchClock clock) {
    this.wanted = wanted;
    this.trimmer = trimmer;
    this.bench = bench;
    this.clock = clock;
    this.turnedNanos = clock.nanos();
  }

  /**
   * Looks at the latest value and turns if that is called for.
   *
   * @return the answer if it has to be given up
   */
  Optional<Answer> look(LiveValue live) throws InstrumentException {
    if (live.quantity().isEmpty() || clock.nanos() - turnedNanos < SETTLING_NANOS) {
      return Optional.empty();
    }
    double value = live.quantity().get().value();
    double low = wanted.window().low().value();
    double high = wanted.window().high().value();
    double off = (low + high) / 2 - value;
    if (Math.abs(off) < (high - low) / 4) {
      return Optional.empty();
    }
    double position = bench.position(trimmer);
    if (!Double.isNaN(positionBefore) && Math.abs(position - positionBefore) > 1e-3) {
      slope = (value - valueBefore) / (position - positionBefore);
    }
    double turn =
        Double.isNaN(slope) || slope == 0
            ? FIRST
            : Math.max(-FARTHEST, Math.min(FARTHEST, off / slope));
    positionBefore = position;
    valueBefore = value;
    bench.turn(trimmer, position + turn);
    turnedNanos = clock.nanos();
    atTheEnd = bench.position(trimmer) == position ? atTheEnd + 1 : 0;
    return atTheEnd > 2
        ? Optional.of(new Answer.Declined(wanted.control() + " is at its end"))
        : Optional.empty();
  }
}
