package kitproof.run;

import java.time.Duration;
import java.util.EnumMap;
import java.util.Map;
import java.util.function.BinaryOperator;

/**
 * What a stretch of a run took, by the bench's clock and by real time; the two differ on a
 * simulated bench only.
 *
 * @param bench what of it went into each part, by the bench's clock
 * @param real the same in real time
 * @param benchTotal all of it by the bench's clock
 * @param realTotal all of it in real time
 */
public record Times(
    Map<Timing.Part, Duration> bench,
    Map<Timing.Part, Duration> real,
    Duration benchTotal,
    Duration realTotal) {
  /** No time at all. */
  public static final Times NONE = new Times(Map.of(), Map.of(), Duration.ZERO, Duration.ZERO);

  public Times {
    bench = Map.copyOf(bench);
    real = Map.copyOf(real);
  }

  /** Bench time that went into a part. */
  public Duration bench(Timing.Part part) {
    return bench.getOrDefault(part, Duration.ZERO);
  }

  /** Real time that went into a part. */
  public Duration real(Timing.Part part) {
    return real.getOrDefault(part, Duration.ZERO);
  }

  /** Real time that the station took for itself. */
  public Duration computing() {
    return rest(realTotal, real);
  }

  /** Bench time that went into none of the parts; computing, if the bench's time is real. */
  public Duration benchRest() {
    return rest(benchTotal, bench);
  }

  private static Duration rest(Duration total, Map<Timing.Part, Duration> parts) {
    Duration rest = total.minus(parts.values().stream().reduce(Duration.ZERO, Duration::plus));
    return rest.isNegative() ? Duration.ZERO : rest;
  }

  /** Both together. */
  public Times plus(Times other) {
    return with(other, Duration::plus);
  }

  /** What has come since then. */
  public Times since(Times before) {
    return with(before, Duration::minus);
  }

  private Times with(Times other, BinaryOperator<Duration> operator) {
    Map<Timing.Part, Duration> onBench = new EnumMap<>(Timing.Part.class);
    Map<Timing.Part, Duration> inReal = new EnumMap<>(Timing.Part.class);
    for (Timing.Part part : Timing.Part.values()) {
      onBench.put(part, operator.apply(bench(part), other.bench(part)));
      inReal.put(part, operator.apply(real(part), other.real(part)));
    }
    return new Times(
        onBench,
        inReal,
        operator.apply(benchTotal, other.benchTotal),
        operator.apply(realTotal, other.realTotal));
  }
}
