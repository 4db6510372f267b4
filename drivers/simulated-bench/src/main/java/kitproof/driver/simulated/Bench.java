package kitproof.driver.simulated;

import java.time.Duration;
import java.util.EnumMap;
import java.util.Map;
import kitproof.driver.BenchClock;
import kitproof.driver.BenchContext;
import kitproof.driver.InstrumentException;
import kitproof.driver.simulated.unit.Amplifier;
import kitproof.driver.simulated.unit.Connections;
import kitproof.driver.simulated.unit.Integrals;
import kitproof.driver.simulated.unit.Playback;
import kitproof.driver.simulated.unit.UnitParts;
import org.jspecify.annotations.Nullable;

/**
 * The unit that all instruments of one bench share, at the time of the bench's clock.
 *
 * <p>Whoever asks moves the unit to the clock's moment first, a stimulus that is playing included:
 * a meter that is read in the middle of it sees the supply as it is then. Safe for several threads;
 * nobody sleeps while holding it.
 */
final class Bench {
  /** Nanoseconds between two looks at the clock while a signal plays. */
  private static final long LONGEST_SLICE = 20_000_000;

  private static final long LAST_SLICE = 1_000_000;

  /** What a time loses that is rounded to nanoseconds, and more. */
  private static final long ROUNDED = 100;

  private final BenchClock clock;
  private final long start;
  private @Nullable Amplifier amplifier;
  private @Nullable UnitParts parts;
  private final Map<Trimmer, Double> positions = new EnumMap<>(Trimmer.class);
  private boolean wired;
  private double inputGain = 1;
  private boolean loopback;
  private Map<Point, Double> resistances = Map.of();
  private Room room = Room.USUAL;
  private @Nullable Connections connected;
  private double leftContact;
  private double rightContact;
  private Playing playing = Playing.NOTHING;

  private Bench(BenchClock clock) {
    this.clock = clock;
    this.start = clock.nanos();
  }

  /** The bench of this name among the instruments that are opened together. */
  static Bench of(String name, BenchContext context) {
    return context.shared("simulated-bench " + name, Bench.class, () -> new Bench(context.clock()));
  }

  /** Puts a unit on the bench for a switcher, or leaves the same unit there as it is. */
  synchronized void put(UnitParts wanted, Map<Trimmer, Double> trimmers, Connections connections)
      throws InstrumentException {
    if (wired) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "two switchers name the same simulated bench");
    }
    Amplifier unit = amplifier;
    if (unit == null || !wanted.equals(parts)) {
      unit = new Amplifier(wanted, connections);
      positions.clear();
      positions.putAll(trimmers);
      for (Trimmer trimmer : Trimmer.values()) {
        unit.trim(trimmer.channel(), Trimmer.factor(position(trimmer)));
      }
    }
    unit.advance(seconds());
    unit.connect(connections);
    connected = connections;
    amplifier = unit;
    parts = wanted;
    wired = true;
  }

  /** Where a trimmer stands, 0…1; in its middle if nobody said otherwise. */
  synchronized double position(Trimmer trimmer) {
    return positions.getOrDefault(trimmer, 0.5);
  }

  /** Turns a trimmer to a position, at most to its end. */
  synchronized void turn(Trimmer trimmer, double to) throws InstrumentException {
    double position = Math.max(0, Math.min(1, to));
    current().trim(trimmer.channel(), Trimmer.factor(position));
    positions.put(trimmer, position);
  }

  /** The switcher is closed; the unit stays. */
  synchronized void release() {
    wired = false;
  }

  /** Sets what the room is like. */
  synchronized void room(Room around) {
    room = around;
  }

  /** Sets the ohms of the contacts, which {@code connect} counts among the loads. */
  synchronized void contacts(double left, double right) {
    leftContact = left;
    rightContact = right;
  }

  synchronized void connect(Connections connections) throws InstrumentException {
    current().connect(connections);
    connected = connections;
  }

  /** What a point reads over a time that passes meanwhile. */
  double read(Point point, Duration time) throws InstrumentException {
    Integrals before;
    double from;
    synchronized (this) {
      before = current().integrals();
      from = seconds();
    }
    pause(time);
    synchronized (this) {
      if (point.isOfTheRoom()) {
        return room.at(point);
      }
      if (point == Point.LINE_LEFT || point == Point.LINE_RIGHT) {
        return playing.rms(point == Point.LINE_LEFT, from, seconds());
      }
      Amplifier now = current();
      if (point.isOfTheBench()) {
        return resistance(point, now);
      }
      return point.between(before, now.integrals(), now);
    }
  }

  /** No number with voltage on the unit, as of its own resistances. */
  private double resistance(Point point, Amplifier now) {
    return Double.isNaN(now.coldOhms())
        ? Double.NaN
        : resistances.getOrDefault(point, Double.POSITIVE_INFINITY);
  }

  /** Sets what a meter finds at each resistor of the bench, ohms. */
  synchronized void resistances(Map<Point, Double> ohms) {
    resistances = Map.copyOf(ohms);
  }

  /** Puts the interface's outputs straight on its inputs, or takes them off again. */
  synchronized void loopback(boolean on) {
    loopback = on;
  }

  /** Sets how much more of an output reaches the interface than at rest. */
  synchronized void inputGain(double gain) {
    inputGain = gain;
  }

  /** How much more of an output reaches the interface than at rest. */
  synchronized double inputGain() {
    return inputGain;
  }

  /**
   * Plays a stimulus while its time passes.
   *
   * @return volts at the outputs, left and right
   */
  double[][] exchange(double rate, double[] left, double[] right) throws InstrumentException {
    Playback playback;
    synchronized (this) {
      Amplifier unit = current();
      if (unit.playing()) {
        throw new InstrumentException(
            InstrumentException.Kind.OTHER, "another stimulus is still playing");
      }
      playing = new Playing(seconds(), rate, left, right);
      playback = loopback ? null : unit.play(rate, left, right);
    }
    if (playback == null) { // the unit is off the interface and only grows older
      pause(Duration.ofNanos((long) Math.ceil(left.length / rate * 1e9)));
      return new double[][] {left, right};
    }
    try {
      long end = clock.nanos() + (long) Math.ceil(playback.duration() * 1e9);
      while (true) {
        synchronized (this) {
          current();
          if (playback.finished()) {
            return atTheLoads(playback.captured());
          }
        }
        pause(Duration.ofNanos(slice(end - clock.nanos())));
      }
    } finally {
      synchronized (this) {
        if (!playback.finished() && amplifier != null) {
          amplifier.stop();
        }
      }
    }
  }

  /** The interface listens at the loads, behind the contacts. */
  private double[][] atTheLoads(double[][] volts) {
    Connections now = connected;
    if (now == null || (leftContact == 0 && rightContact == 0)) {
      return volts;
    }
    return new double[][] {
      scaled(volts[0], left(now, leftContact)), scaled(volts[1], right(now, rightContact))
    };
  }

  private static double left(Connections now, double contact) {
    return now.left().open() ? 1 : 1 - contact / now.left().load();
  }

  private static double right(Connections now, double contact) {
    return now.right().open() ? 1 : 1 - contact / now.right().load();
  }

  private static double[] scaled(double[] volts, double by) {
    double[] scaled = new double[volts.length];
    for (int i = 0; i < volts.length; i++) {
      scaled[i] = by * volts[i];
    }
    return scaled;
  }

  /**
   * How long to pause before the unit is moved on. In real time the model is computed while the
   * signal's time passes: in slices that become short towards its end, so that when that has come
   * there is hardly anything left to compute.
   *
   * @param left nanoseconds to the end; 0 or less if the last sample, rounded, is a moment away
   */
  private static long slice(long left) {
    return left <= LAST_SLICE
        ? Math.max(left, ROUNDED)
        : Math.min(LONGEST_SLICE, Math.max(LAST_SLICE, left / 2));
  }

  private Amplifier current() throws InstrumentException {
    Amplifier unit = amplifier;
    if (unit == null) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "no switcher of this simulated bench has been opened, so that there is no unit on it");
    }
    unit.advance(seconds());
    return unit;
  }

  private double seconds() {
    return (clock.nanos() - start) * 1e-9;
  }

  private void pause(Duration time) throws InstrumentException {
    try {
      clock.sleep(time);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(InstrumentException.Kind.OTHER, "interrupted", e);
    }
  }
}
