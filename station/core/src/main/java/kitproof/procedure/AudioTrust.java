package kitproof.procedure;

import java.util.Optional;
import java.util.OptionalDouble;
import kitproof.calibration.Calibration;
import kitproof.calibration.Known;
import kitproof.calibration.PathResponse;
import kitproof.calibration.Residuals;
import kitproof.driver.AudioPorts;
import kitproof.signal.Repeats;
import kitproof.signal.ToneFigures;
import kitproof.uncertainty.NearResidual;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * How well a step knows the volts that it plays and captures, by the bench's calibration.
 *
 * <p>The path from output to input is taken out of captures whole, as a loop cannot tell its two
 * parts apart. A ratio of output to drive is right then; volts by themselves may be off by the part
 * that belongs to the output, which is anything from none to all of it.
 */
final class AudioTrust {
  private final Calibration calibration;
  private final StepBench bench;
  private final String role;
  private final AudioPorts ports;
  private final InputRanges ranges;
  private final Residuals residuals;
  private final PathTrust path;

  AudioTrust(
      Calibration calibration, StepBench bench, String role, AudioPorts ports, InputRanges ranges) {
    this.calibration = calibration;
    this.bench = bench;
    this.role = role;
    this.ports = ports;
    this.ranges = ranges;
    this.residuals = new Residuals(calibration, role);
    this.path = new PathTrust(calibration, role, ports, ranges);
  }

  private String input(ToneBench.Channel channel) {
    return ports.inputs().get(channel.input()).name();
  }

  private String output(ToneBench.Channel channel) {
    return ports.outputs().get(channel.output()).name();
  }

  private static String in(@Nullable String range) {
    return range == null ? "" : ", " + range;
  }

  /** Volts of a tone at the unit's output, as captured in the range in use. */
  Factor volts(ToneBench.Channel channel, double hertz) {
    return inputScale(channel).times(path(channel, hertz));
  }

  /** Volts of a tone that is played. */
  Factor drive(ToneBench.Channel channel, double hertz) {
    String name = output(channel);
    String what = "full scale of output " + name;
    Factor scale =
        calibration
            .output(role, name)
            .map(known -> of(known, what))
            .orElseGet(() -> Factor.lacking("the " + what));
    return scale.times(share(channel, hertz));
  }

  private Factor inputScale(ToneBench.Channel channel) {
    String range = ranges.name();
    String what = "full scale of input " + input(channel) + in(range);
    return calibration
        .input(role, input(channel), range)
        .map(known -> of(known, what))
        .orElseGet(() -> Factor.lacking("the " + what));
  }

  private static Factor of(Known known, String name) {
    return Factor.of(known.contribution(name), known.value().value());
  }

  /** What is known of the path of each channel. */
  PathTrust path() {
    return path;
  }

  /** What the path's calibration leaves, and the output's share in it. */
  private Factor path(ToneBench.Channel channel, double hertz) {
    String range = ranges.name();
    String what = "path of " + input(channel) + in(range);
    Optional<PathResponse> path = this.path.response(channel);
    if (path.isEmpty()) {
      return Factor.lacking("the " + what);
    }
    if (!path.get().covers(hertz)) {
      return Factor.lacking("the " + what + " at " + at(hertz));
    }
    return Factor.decibels(
            Contribution.known(
                    what + " at " + at(hertz),
                    Distribution.NORMAL,
                    path.get().standard(hertz),
                    Unit.DECIBEL)
                .with(path.get().degreesOfFreedom(hertz)))
        .times(share(channel, hertz));
  }

  private Factor share(ToneBench.Channel channel, double hertz) {
    double level =
        this.path
            .response(channel)
            .filter(path -> path.covers(hertz))
            .map(path -> path.level(hertz))
            .orElse(0.0);
    return share(channel, level, at(hertz));
  }

  /**
   * The output's part in a path of this level: anything from none to all of it, told as the root of
   * the mean square distance from none.
   */
  private Factor share(ToneBench.Channel channel, double level, String where) {
    return level == 0
        ? Factor.EXACT
        : Factor.decibels(
            Contribution.within(
                    "output's part in the path of " + input(channel) + " at " + where,
                    Distribution.RECTANGULAR,
                    Math.abs(level),
                    Unit.DECIBEL)
                .on(level < 0 ? Side.BELOW : Side.ABOVE));
  }

  /** Volts of noise that is white between two frequencies, within what the path covers. */
  Factor noiseVolts(ToneBench.Channel channel, double low, double high) {
    String range = ranges.name();
    String what = "path of " + input(channel) + in(range);
    Optional<PathResponse> path = this.path.response(channel);
    if (path.isEmpty()) {
      return inputScale(channel).times(Factor.lacking("the " + what));
    }
    int points = 200;
    double squares = 0;
    double most = 0;
    double degrees = Double.POSITIVE_INFINITY;
    for (int i = 0; i < points; i++) {
      double hertz = low + (high - low) * (i + 0.5) / points;
      squares += Math.pow(10, path.get().level(hertz) / 10) / points;
      if (path.get().standard(hertz) > most) {
        most = path.get().standard(hertz);
        degrees = path.get().degreesOfFreedom(hertz);
      }
    }
    String where = at(low) + " to " + at(high);
    return inputScale(channel)
        .times(
            Factor.decibels(
                Contribution.known(what + ", " + where, Distribution.NORMAL, most, Unit.DECIBEL)
                    .with(degrees)))
        .times(share(channel, 10 * Math.log10(squares), where));
  }

  /** The load on a channel's output. */
  Factor load(ToneBench.Channel channel) {
    return resistor(bench.loadRoute(channel.name()));
  }

  /**
   * The level of a tone as it was captured: how much it changed, or what noise may have done to it
   * in a capture too short for that.
   *
   * @param bandwidth in which the noise of the figures was counted, Hz
   */
  static Factor observed(String name, ToneFigures figures, double bandwidth) {
    Repeats seen = figures.repeats();
    if (seen.isObserved()) {
      return Factor.relative(
          "repeatability of the " + name,
          Evaluation.TYPE_A,
          seen.deviation() / Math.sqrt(seen.count()),
          seen.count() - 1);
    }
    double independent = Math.max(1, bandwidth * figures.seconds());
    return Factor.relative(
        "noise on the " + name,
        Evaluation.TYPE_A,
        figures.noiseVolts() / figures.levelVolts() / Math.sqrt(2 * independent),
        Double.POSITIVE_INFINITY);
  }

  /** Output over drive of a tone, both as this knows them. */
  Factor gain(ToneBench.Channel channel, double hertz) {
    return volts(channel, hertz).over(drive(channel, hertz));
  }

  /** Rms of noise of which there were so many independent values (common in random data). */
  static Factor noise(double independent) {
    return Factor.relative(
        "noise in the time listened to",
        Evaluation.TYPE_A,
        1 / (2 * Math.sqrt(Math.max(1, independent))),
        Double.POSITIVE_INFINITY);
  }

  /** What of a noise may be the station's own, if that is known. */
  Factor stationNoise(Optional<StationResidual> known, double volts, double own) {
    return known.isEmpty()
        ? Factor.lacking("the station's own noise")
        : Factor.of(
            NearResidual.of(volts, own, 0, Unit.VOLT).get(0).with(known.get().degreesOfFreedom()),
            volts);
  }

  /** What of a driven channel comes in at another by the station itself, of a ratio of the two. */
  Factor leakage(ToneBench.Channel from, ToneBench.Channel to, double hertz, double ratioOfLevels) {
    Optional<Residuals.Leakage> leak = residuals.leakage(input(from), input(to), hertz);
    String what = "leakage of " + input(from) + " into " + input(to);
    return leak.isEmpty()
        ? Factor.lacking("the " + what)
        : Factor.of(
            Contribution.within(
                    what + " at " + at(hertz),
                    Distribution.ARCSINE,
                    100 * leak.get().ratio(),
                    Unit.PERCENT)
                .with(leak.get().degreesOfFreedom()),
            100 * ratioOfLevels);
  }

  /** The station's own distortion and noise in the range in use, if they were calibrated. */
  Optional<StationResidual> residual(
      ToneBench.Channel channel,
      double inputFullScale,
      double outputFullScale,
      double outputVolts,
      double hertz,
      Optional<StationResidual> stated) {
    double level = 20 * Math.log10(outputVolts / inputFullScale);
    return residuals
        .at(input(channel), ranges.name(), hertz, level)
        .map(
            own ->
                new StationResidual(
                    own.thd(),
                    own.noise(),
                    outputNoise(channel, own.noise() * inputFullScale, outputFullScale, stated),
                    own.degreesOfFreedom()));
  }

  /**
   * Noise of the output over its full scale: what the bench file says, but never more than all that
   * the loop showed in the range that showed least.
   */
  private double outputNoise(
      ToneBench.Channel channel,
      double here,
      double outputFullScale,
      Optional<StationResidual> stated) {
    double least = here;
    for (StepBench.InputRange range : bench.inputRanges()) {
      OptionalDouble noise = residuals.noise(input(channel), range.name());
      if (noise.isPresent()) {
        least = Math.min(least, noise.getAsDouble() * range.fullScale().in(Unit.VOLT));
      }
    }
    double bound = least / outputFullScale;
    return stated.map(own -> Math.min(bound, own.outputNoise())).orElse(bound);
  }

  /** A resistor that a route connects, and what the room's temperature may have made of it. */
  Factor resistor(String route) {
    String what = "resistance of " + route;
    return calibration
        .resistance(route)
        .map(known -> of(known, what))
        .orElseGet(() -> Factor.lacking("the " + what))
        .times(Warmth.of(route, bench, calibration));
  }

  private static String at(double hertz) {
    return Quantity.of(hertz, Unit.HERTZ).display();
  }
}
