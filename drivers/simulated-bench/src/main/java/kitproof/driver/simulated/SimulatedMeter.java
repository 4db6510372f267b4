package kitproof.driver.simulated;

import java.util.List;
import java.util.Map;
import kitproof.driver.Handling;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.driver.simulated.unit.Noise;
import kitproof.value.Quantity;

/** Reads points of the simulated unit, with the small noise of a bench multimeter. */
final class SimulatedMeter implements Meter {
  /** Relative noise of a reading, rms: about the last digit of a 4½-digit meter. */
  private static final double NOISE = 5e-5;

  /** Noise of a resistance near zero, rms, with four wires. */
  private static final double OHMS_FLOOR = 1e-3;

  /** Noise of a voltage near zero, rms. */
  private static final double FLOOR = 2e-4;

  private final Bench bench;
  private final MeterSettings settings;
  private final Noise noise;
  private volatile boolean closed;

  /** Each trial of a gauge study hears a noise of its own. */
  SimulatedMeter(Bench bench, MeterSettings settings, Handling handling) {
    this.bench = bench;
    this.settings = settings;
    this.noise = new Noise(0x6b6974 ^ Contacts.ofTrial(handling));
  }

  @Override
  public Identity identity() {
    return new Identity("Kitproof", "simulated meter", settings.bench(), "");
  }

  @Override
  public List<MeterFunction> functions() {
    return settings.functions().entrySet().stream()
        .map(f -> new MeterFunction(f.getKey(), f.getValue().point().unit()))
        .toList();
  }

  @Override
  public Reading read(String name) throws InstrumentException {
    if (closed) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE, identity() + " is closed");
    }
    MeterSettings.Function function = settings.functions().get(name);
    if (function == null) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          identity()
              + " has no function \""
              + name
              + "\", only "
              + Map.copyOf(settings.functions()).keySet());
    }
    Point point = function.point();
    double leads = point.isOfTheBench() ? settings.leads() : 0;
    double value = settings.gain() * (bench.read(point, settings.readingTime()) + leads);
    if (Double.isNaN(value)) {
      return new Reading.NotANumber();
    }
    if (point == Point.COLD_RESISTANCE || point.isOfTheBench()) {
      value += value * NOISE * noise.next() + OHMS_FLOOR * noise.next();
    } else if (point != Point.FLYBACK) {
      value += value * NOISE * noise.next() + FLOOR * noise.next();
    }
    Quantity range = function.range();
    if (Double.isInfinite(value) || (range != null && Math.abs(value) > range.value())) {
      return new Reading.Overload(value < 0);
    }
    return new Reading.Value(Quantity.of(value, point.unit()));
  }

  @Override
  public void makeSafe() {
    // Only listens.
  }

  @Override
  public void close() {
    closed = true;
  }
}
