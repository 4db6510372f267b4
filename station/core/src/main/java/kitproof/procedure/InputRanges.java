package kitproof.procedure;

import java.util.List;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.value.Signal;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Chooses among the attenuators before the interface's inputs, and takes their ratio out again. */
final class InputRanges {
  /** Room above the expected peak, for what a unit adds to its tone. */
  private static final double HEADROOM = 1.5;

  private final StepBench bench;
  private final List<StepBench.InputRange> ranges;

  /** Index of the range in use; -1 until one has been chosen. */
  private int now = -1;

  InputRanges(StepBench bench) {
    this.bench = bench;
    this.ranges = bench.inputRanges();
  }

  /** Selects the most sensitive range in which an output this high does not reach full scale. */
  void expect(double peakVolts) throws InstrumentException {
    int wanted = 0;
    for (int i = 1; i < ranges.size(); i++) {
      double fullScale = ranges.get(i).fullScale().in(Unit.VOLT) * Math.sqrt(2);
      wanted = fullScale >= HEADROOM * peakVolts ? i : wanted;
    }
    use(wanted);
  }

  /** Selects the range at rest if none has been chosen yet. */
  void choose() throws InstrumentException {
    if (now < 0) {
      use(0);
    }
  }

  /** Selects the next less sensitive range; whether there is one. */
  boolean back() throws InstrumentException {
    if (now <= 0) {
      return false;
    }
    use(now - 1);
    return true;
  }

  private void use(int wanted) throws InstrumentException {
    if (wanted < ranges.size() && wanted != now) {
      bench.selectInputRange(ranges.get(wanted));
    }
    now = wanted;
  }

  /** The range in use, which is the one at rest until another is chosen; null without ranges. */
  @Nullable String name() {
    return ranges.isEmpty() ? null : ranges.get(Math.max(0, now)).name();
  }

  /** By how much less than in the range at rest an input in the present range takes. */
  double ratio() {
    return now <= 0 ? 1 : ranges.get(now).fullScale().value() / ranges.get(0).fullScale().value();
  }

  /** A capture in volts at the unit: the interface knows nothing of the attenuator before it. */
  Capture atUnit(Capture capture) {
    double ratio = ratio();
    if (ratio == 1) {
      return capture;
    }
    double[][] volts = new double[capture.signal().channels()][];
    for (int i = 0; i < volts.length; i++) {
      volts[i] = ToneBench.scaled(capture.signal().channel(i), ratio);
    }
    return new Capture(
        Signal.of(capture.signal().sampleRateHz(), volts), capture.clipped(), capture.lost());
  }
}
