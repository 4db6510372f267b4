package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import kitproof.signal.FrequencyResponse;
import kitproof.value.Contribution;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Level and phase of the path at points of rising frequency, and how well they are known.
 *
 * @param hertz rising
 * @param level relative to that at the tone of the full scales, dB
 * @param levelStandard its standard uncertainty, dB; between two points straight lines are drawn,
 *     and how far the path bends away from them is part of it
 * @param phase without the delay, degrees
 * @param phaseStandard its standard uncertainty, degrees
 * @param degreesOfFreedom of the level's
 * @param phaseDegreesOfFreedom of the phase's
 * @param levelSpread what of {@code levelStandard} is from the spread of the repeats, dB
 * @param phaseSpread what of {@code phaseStandard} is, degrees
 * @param reference level of the loop at the tone of the full scales over what was played, dB
 */
record PathPoints(
    double[] hertz,
    double[] level,
    double[] levelStandard,
    double[] phase,
    double[] phaseStandard,
    double[] degreesOfFreedom,
    double[] phaseDegreesOfFreedom,
    double[] levelSpread,
    double[] phaseSpread,
    double reference) {
  /** The spread of a few repeats is known better from so many points to both sides together. */
  private static final int POOLED = 3;

  private static PathPoints empty(double[] hertz, double reference) {
    int n = hertz.length;
    return new PathPoints(
        hertz,
        new double[n],
        new double[n],
        new double[n],
        new double[n],
        new double[n],
        new double[n],
        new double[n],
        new double[n],
        reference);
  }

  /**
   * From sweeps.
   *
   * @param delay that is taken out of the phase, seconds
   * @param tone where the level is 0 dB by definition, Hz
   */
  static PathPoints of(List<FrequencyResponse> found, double[] hertz, double delay, double tone) {
    List<Double> references = LineCalibration.values();
    List<double[]> phases = new ArrayList<>();
    for (FrequencyResponse each : found) {
      references.add(each.gainDb(tone));
      phases.add(each.withoutDelay(delay).phase(hertz).ys());
    }
    PathPoints points = empty(hertz, LineCalibration.mean(references));
    for (int p = 0; p < hertz.length; p++) {
      List<Double> levels = LineCalibration.values();
      List<Double> turned = LineCalibration.values();
      for (int i = 0; i < found.size(); i++) {
        levels.add(found.get(i).gainDb(hertz[p]) - references.get(i));
        turned.add(phases.get(i)[p]);
      }
      points.put(p, levels, turned);
    }
    return points.pooled(
        p -> bend(found.get(0), hertz, p) / Math.sqrt(3), p -> bend(points.phase, p));
  }

  /**
   * From low tones, below points from sweeps.
   *
   * @param tones null if there are none
   * @param found what came back of them, by repeat
   */
  static PathPoints of(
      @Nullable LowTones tones, List<List<LowTones.Found>> found, PathPoints swept, double delay) {
    if (tones == null) {
      return swept;
    }
    double[] hertz = tones.hertz();
    double[] unsettled = new double[hertz.length];
    double[] turning = new double[hertz.length];
    PathPoints points = empty(hertz, swept.reference);
    for (int p = 0; p < hertz.length; p++) {
      List<Double> levels = LineCalibration.values();
      List<Double> turned = LineCalibration.values();
      for (List<LowTones.Found> each : found) {
        LowTones.Found at = each.get(p);
        double phase = at.phase() + 360 * hertz[p] * delay;
        levels.add(at.level() - swept.reference);
        turned.add(phase - 360 * Math.round((phase - swept.phase[0]) / 360));
        unsettled[p] += Math.abs(at.unsettled()) / found.size() / Math.sqrt(3);
        turning[p] += Math.abs(at.turning()) / found.size() / Math.sqrt(3);
      }
      points.put(p, levels, turned);
    }
    double sweptReference = swept.levelStandard[0];
    return points
        .pooled(
            p -> Math.hypot(sweptReference, Math.hypot(unsettled[p], bend(points.level, p))),
            p -> Math.hypot(turning[p], bend(points.phase, p)))
        .before(swept);
  }

  /** The same with so much more delay taken out of the phase, seconds. */
  PathPoints without(double delay) {
    double[] turned = phase.clone();
    for (int p = 0; p < turned.length; p++) {
      turned[p] += 360 * hertz[p] * delay;
    }
    return new PathPoints(
        hertz,
        level,
        levelStandard,
        turned,
        phaseStandard,
        degreesOfFreedom,
        phaseDegreesOfFreedom,
        levelSpread,
        phaseSpread,
        reference);
  }

  /** How well the level is known at each point, dB. */
  Uncertainty levelKnown() {
    return known(levelStandard, levelSpread, degreesOfFreedom, Unit.DECIBEL);
  }

  /** How well the phase is known at each point, degrees. */
  Uncertainty phaseKnown() {
    return known(phaseStandard, phaseSpread, phaseDegreesOfFreedom, Unit.DEGREE);
  }

  /** With the budget of the point that is known least. */
  private static Uncertainty known(
      double[] standard, double[] spread, double[] degreesOfFreedom, Unit unit) {
    int least = 0;
    for (int p = 1; p < standard.length; p++) {
      least = standard[p] > standard[least] ? p : least;
    }
    double all = standard[least];
    List<Contribution> budget = new ArrayList<>();
    if (spread[least] > 0) { // what else there is has been added as certain in its size: G.2b again
      double degrees = degreesOfFreedom[least] * Math.pow(spread[least] / all, 4);
      budget.add(
          new Contribution(
              "repeats",
              Contribution.Evaluation.TYPE_A,
              Contribution.Distribution.NORMAL,
              Contribution.Side.BOTH,
              spread[least],
              unit,
              1,
              degrees));
    }
    double rest = Math.sqrt(Math.max(0, all * all - spread[least] * spread[least]));
    budget.add(
        Contribution.known(
            "bend between points, and what had not settled",
            Contribution.Distribution.RECTANGULAR,
            rest,
            unit));
    return Uncertainty.of(standard, standard, degreesOfFreedom, budget);
  }

  private void put(int point, List<Double> levels, List<Double> phases) {
    int count = levels.size();
    level[point] = LineCalibration.mean(levels);
    phase[point] = LineCalibration.mean(phases);
    levelStandard[point] = LineCalibration.deviation(levels) / Math.sqrt(count);
    phaseStandard[point] = LineCalibration.deviation(phases) / Math.sqrt(count);
    degreesOfFreedom[point] = (count - 1.0) * Math.min(2 * POOLED + 1, hertz.length);
    phaseDegreesOfFreedom[point] = degreesOfFreedom[point];
  }

  private interface Also {
    double at(int point);
  }

  /**
   * With the spread of neighbours taken together.
   *
   * @param alsoLevel what else makes the level uncertain, dB
   * @param alsoPhase what else makes the phase uncertain, degrees
   */
  private PathPoints pooled(Also alsoLevel, Also alsoPhase) {
    PathPoints pooled =
        new PathPoints(
            hertz,
            level,
            pooled(levelStandard),
            phase,
            pooled(phaseStandard),
            degreesOfFreedom.clone(),
            phaseDegreesOfFreedom.clone(),
            pooled(levelStandard),
            pooled(phaseStandard),
            reference);
    for (int p = 0; p < hertz.length; p++) {
      widen(pooled.levelStandard, pooled.degreesOfFreedom, p, alsoLevel.at(p));
      widen(pooled.phaseStandard, pooled.phaseDegreesOfFreedom, p, alsoPhase.at(p));
    }
    return pooled;
  }

  /** Adds what is not from the spread, as JCGM 100:2008, G.2b has it. */
  private static void widen(double[] standard, double[] degrees, int point, double more) {
    double spread = standard[point];
    standard[point] = Math.hypot(spread, more);
    degrees[point] =
        spread == 0
            ? Double.POSITIVE_INFINITY
            : degrees[point] * Math.pow(standard[point] / spread, 4);
  }

  private static double[] pooled(double[] standard) {
    double[] pooled = new double[standard.length];
    for (int p = 0; p < pooled.length; p++) {
      int from = Math.max(0, Math.min(p - POOLED, standard.length - 2 * POOLED - 1));
      int to = Math.min(standard.length, from + 2 * POOLED + 1);
      double sum = 0;
      for (int i = from; i < to; i++) {
        sum += standard[i] * standard[i];
      }
      pooled[p] = Math.sqrt(sum / (to - from));
    }
    return pooled;
  }

  /** How far the path bends away, between this point and the next, from the line between them. */
  private static double bend(FrequencyResponse response, double[] hertz, int point) {
    int next = Math.min(hertz.length - 1, point + 1);
    int from = next - 1;
    double middle = Math.sqrt(hertz[from] * hertz[next]);
    double line = (response.gainDb(hertz[from]) + response.gainDb(hertz[next])) / 2;
    return Math.abs(response.gainDb(middle) - line);
  }

  /**
   * The same from the points alone: half way an even bend is an eighth of its second difference.
   */
  private static double bend(double[] y, int point) {
    int middle = Math.max(1, Math.min(y.length - 2, point));
    return y.length < 3
        ? 0
        : Math.abs(y[middle - 1] - 2 * y[middle] + y[middle + 1]) / 8 / Math.sqrt(3);
  }

  private PathPoints before(PathPoints other) {
    return new PathPoints(
        joined(hertz, other.hertz),
        joined(level, other.level),
        joined(levelStandard, other.levelStandard),
        joined(phase, other.phase),
        joined(phaseStandard, other.phaseStandard),
        joined(degreesOfFreedom, other.degreesOfFreedom),
        joined(phaseDegreesOfFreedom, other.phaseDegreesOfFreedom),
        joined(levelSpread, other.levelSpread),
        joined(phaseSpread, other.phaseSpread),
        reference);
  }

  private static double[] joined(double[] one, double[] other) {
    double[] both = new double[one.length + other.length];
    System.arraycopy(one, 0, both, 0, one.length);
    System.arraycopy(other, 0, both, one.length, other.length);
    return both;
  }
}
