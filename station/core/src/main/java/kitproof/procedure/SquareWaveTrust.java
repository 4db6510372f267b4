package kitproof.procedure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import java.util.function.ToDoubleFunction;
import kitproof.signal.EdgeFigures;
import kitproof.signal.NoiseFloor;
import kitproof.signal.Spread;
import kitproof.signal.SquareWave;
import kitproof.signal.Window;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Unit;

/**
 * How well the figures of a square wave are known: by how much they differ from one part of the
 * capture to the next, and by what becomes of them if the path is off by its standard uncertainty,
 * in level and in phase, below ten times the wave's frequency and above.
 *
 * <p>The figures are found anew from a period that was changed so (JCGM 100:2008, 5.1.3, note 2).
 */
final class SquareWaveTrust {
  private static final int PARTS = 6;

  /** Sag is a matter of what lies below so many times the wave's frequency, edges of the rest. */
  private static final double EDGES_FROM = 10;

  private final ToneBench audio;
  private final AudioTrust trust;
  private final ToneBench.Channel channel;
  private final SquareWave wave;
  private final double own;
  private final EdgeFigures whole;
  private final List<EdgeFigures> parts = new ArrayList<>();
  private final List<Off> off = new ArrayList<>();
  private final NoiseFloor floor;
  private final boolean pathKnown;
  private final int start;
  private final double pathDegrees;

  /** What an error of the path does. */
  private static final class Off {
    private final String what;
    private final EdgeFigures figures;

    /** How far each sample of the period moves. */
    private final double[] volts;

    Off(String what, EdgeFigures figures, double[] volts) {
      this.what = what;
      this.figures = figures;
      this.volts = volts;
    }
  }

  /**
   * Of what a channel gave.
   *
   * @param own rise time of the stimulus itself, seconds
   */
  SquareWaveTrust(ToneBench audio, Block block, SquareWave wave, double own) {
    this.audio = audio;
    this.trust = audio.trust().orElseThrow();
    this.channel = block.channel();
    this.wave = wave;
    this.own = own;
    this.floor = NoiseFloor.of(block.volts(), wave.sampleRateHz(), Window.FLAT_TOP);
    this.start = Traces.risingZero(block.volts());
    double[] period = period(block.volts());
    this.whole = EdgeFigures.of(period, wave);
    int periods = block.volts().length / wave.period();
    int count = Math.min(PARTS, periods);
    for (int i = 0; i < count && count > 1; i++) {
      int length = periods / count * wave.period();
      parts.add(
          EdgeFigures.of(
              period(Arrays.copyOfRange(block.volts(), i * length, (i + 1) * length)), wave));
    }
    double lowest = wave.frequencyHz();
    double highest = wave.sampleRateHz() * 0.45;
    DoubleUnaryOperator level = hertz -> trust.path().levelStandard(channel, hertz);
    DoubleUnaryOperator phase = hertz -> trust.path().phaseStandard(channel, hertz);
    this.pathKnown =
        !Double.isNaN(level.applyAsDouble(lowest) + phase.applyAsDouble(lowest))
            && !Double.isNaN(level.applyAsDouble(highest) + phase.applyAsDouble(highest));
    this.pathDegrees = trust.path().degreesOfFreedom(channel, lowest, highest);
    if (pathKnown) {
      double middle = EDGES_FROM * lowest;
      add("level of the path below", period, below(middle, level), hertz -> 0);
      add("level of the path above", period, above(middle, level), hertz -> 0);
      add("phase of the path below", period, hertz -> 0, below(middle, phase));
      add("phase of the path above", period, hertz -> 0, above(middle, phase));
    }
  }

  private static DoubleUnaryOperator below(double middle, DoubleUnaryOperator of) {
    return hertz -> hertz < middle ? of.applyAsDouble(hertz) : 0;
  }

  private static DoubleUnaryOperator above(double middle, DoubleUnaryOperator of) {
    return hertz -> hertz < middle ? 0 : of.applyAsDouble(hertz);
  }

  private void add(
      String what, double[] period, DoubleUnaryOperator level, DoubleUnaryOperator phase) {
    double[] changed = wave.changed(period, level, phase);
    double[] same = wave.changed(period, hertz -> 0, hertz -> 0);
    double[] volts = new double[same.length];
    Arrays.setAll(volts, i -> Math.abs(changed[i] - same[i]));
    off.add(
        new Off(
            what + " " + Math.round(EDGES_FROM * wave.frequencyHz()) + " Hz",
            EdgeFigures.of(changed, wave),
            volts));
  }

  /** The mean of all periods. */
  private double[] period(double[] volts) {
    double[] mean = new double[wave.period()];
    int periods = volts.length / wave.period();
    for (int i = 0; i < periods * wave.period(); i++) {
      mean[i % wave.period()] += volts[i] / periods;
    }
    return mean;
  }

  /** One of the results of the step. */
  Measurement known(Measurement result) {
    return switch (result.name()) {
      case "rise time" -> Budgeted.on(result, value -> rise(value.value()));
      case "overshoot" -> Budgeted.on(result, v -> found(e -> 100 * e.overshoot(), Unit.PERCENT));
      case "sag" -> Budgeted.on(result, v -> found(e -> 100 * e.sag(), Unit.PERCENT));
      case "ringing frequency" -> Budgeted.on(result, value -> ringing(value.value()));
      default -> wave(result);
    };
  }

  private Budgeted found(ToDoubleFunction<EdgeFigures> figure, Unit unit) {
    if (parts.size() < 2) {
      return Budgeted.lacking("two periods or more");
    }
    if (!pathKnown) {
      return Budgeted.lacking("level and phase of the path over the wave's harmonics");
    }
    double[] values = parts.stream().mapToDouble(figure).toArray();
    if (Arrays.stream(values).anyMatch(Double::isNaN)) {
      return Budgeted.lacking("the figure in every part of the capture");
    }
    List<Contribution> lines = new ArrayList<>();
    lines.add(
        Contribution.observed(
            "repeatability from part to part of the capture",
            Spread.of(values).standardDeviation(),
            values.length,
            unit));
    for (Off each : off) {
      double changed = figure.applyAsDouble(each.figures) - figure.applyAsDouble(whole);
      lines.add(
          Contribution.known(
                  each.what,
                  Distribution.NORMAL,
                  Double.isNaN(changed) ? 0 : Math.abs(changed),
                  unit)
              .with(pathDegrees));
    }
    return Budgeted.of(lines);
  }

  /**
   * The stimulus' slope is taken out as slopes add if they are Gaussian. Of others it may be
   * anything from none of it to twice as much.
   */
  private Budgeted rise(double seconds) {
    double captured = whole.riseSeconds();
    return found(EdgeFigures::riseSeconds, Unit.SECOND)
        .scaled(captured / seconds)
        .and(
            Contribution.within(
                "slopes that are not Gaussian",
                Distribution.RECTANGULAR,
                own == 0 ? 0 : captured - seconds,
                Unit.SECOND),
            clock(seconds, Unit.SECOND));
  }

  private Budgeted ringing(double hertz) {
    double cycle = 1 / hertz;
    return found(e -> e.ringingHz().orElse(Double.NaN), Unit.HERTZ)
        .and(
            Contribution.within(
                "steps in which a cycle is counted",
                Distribution.TRIANGULAR,
                hertz * EdgeFigures.stepSeconds(wave) / cycle,
                Unit.HERTZ),
            clock(hertz, Unit.HERTZ));
  }

  private static Contribution clock(double value, Unit unit) {
    return Contribution.within(
        "clock of the interface", Distribution.RECTANGULAR, TimeTrust.CLOCK * value, unit);
  }

  private Measurement wave(Measurement result) {
    if (!(result.figure() instanceof Figure.OfCurve of)) {
      return result;
    }
    Curve curve = of.curve();
    double hertz = wave.frequencyHz();
    Factor scale =
        trust
            .volts(channel, hertz)
            .over(LevelledTrust.level(trust, channel, hertz, DistortionTrust.LEVELLED_DB));
    double noise = floor.ofSamples();
    return Budgeted.onCurve(
        result,
        i -> {
          int place = (start + (int) Math.rint(curve.x(i) * wave.sampleRateHz())) % wave.period();
          Budgeted point =
              scale
                  .figure(curve.y(i), Unit.VOLT)
                  .and(
                      new Contribution(
                          "noise in a sample",
                          Contribution.Evaluation.TYPE_A,
                          Distribution.NORMAL,
                          Contribution.Side.BOTH,
                          noise,
                          Unit.VOLT,
                          1,
                          floor.degreesOfFreedom()),
                      ToneSpectrumTrust.place(curve, i, audio.sampleRateHz()));
          for (Off each : off) {
            point =
                point.and(
                    Contribution.known(each.what, Distribution.NORMAL, each.volts[place], Unit.VOLT)
                        .with(pathDegrees));
          }
          return pathKnown
              ? point
              : Budgeted.lacking("level and phase of the path over the wave's harmonics");
        });
  }
}
