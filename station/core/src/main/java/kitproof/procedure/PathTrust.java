package kitproof.procedure;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.PathResponse;
import kitproof.driver.AudioPorts;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** What the calibration of a bench leaves open of its audio path, in level and in phase. */
final class PathTrust {
  private final Calibration calibration;
  private final String role;
  private final AudioPorts ports;
  private final InputRanges ranges;
  private final Map<String, Optional<PathResponse>> paths = new HashMap<>();

  PathTrust(Calibration calibration, String role, AudioPorts ports, InputRanges ranges) {
    this.calibration = calibration;
    this.role = role;
    this.ports = ports;
    this.ranges = ranges;
  }

  private String input(ToneBench.Channel channel) {
    return ports.inputs().get(channel.input()).name();
  }

  private static String in(@Nullable String range) {
    return range == null ? "" : ", " + range;
  }

  private static String at(double hertz) {
    return Quantity.of(hertz, Unit.HERTZ).display();
  }

  /** Level and phase of the path of a channel in the range in use; read once for all points. */
  Optional<PathResponse> response(ToneBench.Channel channel) {
    String range = ranges.name();
    return paths.computeIfAbsent(
        input(channel) + in(range), place -> calibration.path(role, input(channel), range));
  }

  /**
   * How well the phase of an output against its drive is known, without noise, in degrees: the
   * path's as calibrated, and the delay that is taken out.
   */
  Budgeted phase(ToneBench.Channel channel, double hertz) {
    String what = "phase of the path of " + input(channel) + in(ranges.name());
    Optional<PathResponse> path = response(channel).filter(known -> known.covers(hertz));
    if (path.isEmpty() || Double.isNaN(path.get().phaseStandard(hertz))) {
      return Budgeted.lacking("the " + what + " at " + at(hertz));
    }
    Budgeted turned =
        Budgeted.of(
            List.of(
                Contribution.known(
                        what + " at " + at(hertz),
                        Distribution.NORMAL,
                        path.get().phaseStandard(hertz),
                        Unit.DEGREE)
                    .with(path.get().phaseDegreesOfFreedom(hertz))));
    return calibration
        .delay(role, input(channel))
        .map(
            delay ->
                turned.and(delay.contribution("delay of " + input(channel)).times(360 * hertz)))
        .orElse(turned);
  }

  /** What an error of the path may do to the level there, dB; NaN if that is not known. */
  double levelStandard(ToneBench.Channel channel, double hertz) {
    return response(channel)
        .filter(path -> path.covers(hertz))
        .map(path -> path.standard(hertz))
        .orElse(Double.NaN);
  }

  /** The same of the phase, degrees. */
  double phaseStandard(ToneBench.Channel channel, double hertz) {
    return response(channel)
        .filter(path -> path.covers(hertz))
        .map(path -> path.phaseStandard(hertz))
        .orElse(Double.NaN);
  }

  /** The least degrees of freedom that level and phase of the path have between two frequencies. */
  double degreesOfFreedom(ToneBench.Channel channel, double low, double high) {
    double least = Double.POSITIVE_INFINITY;
    for (double hertz = low; hertz <= high && response(channel).isPresent(); hertz *= 1.1) {
      PathResponse path = response(channel).get();
      least =
          Math.min(
              least, Math.min(path.degreesOfFreedom(hertz), path.phaseDegreesOfFreedom(hertz)));
    }
    return least;
  }
}
