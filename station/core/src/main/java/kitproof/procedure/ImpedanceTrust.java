package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import kitproof.signal.Impedance;
import kitproof.signal.SweepResponse;
import kitproof.uncertainty.Budget;
import kitproof.uncertainty.Propagation;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * How well an impedance is known that two sweeps into different resistors give. Full scales and
 * path are the same in both and cancel; what remains are the resistors and the noise in each sweep,
 * in magnitude and phase.
 */
final class ImpedanceTrust {
  private static final int NOISE = 13;

  private final TwoSweeps sweeps;
  private final double[] ohms;
  private final List<Factor> resistors;
  private final Formula formula;
  private final SweepNoise first;
  private final SweepNoise second;

  /** The impedance at one frequency from resistors and two responses that may be changed. */
  interface Formula {
    Impedance of(double hertz, double[] ohms, Changed first, Changed second);
  }

  /** A response and by how much it is changed, relative in size, and in phase. */
  record Changed(SweepResponse response, double relative, double radians) {}

  /**
   * Of two sweeps.
   *
   * @param ohms the resistors that the formula takes
   * @param resistors how well each is known
   * @param formula the impedance of resistors and the two responses
   */
  ImpedanceTrust(TwoSweeps sweeps, double[] ohms, List<Factor> resistors, Formula formula) {
    this.sweeps = sweeps;
    this.ohms = ohms.clone();
    this.resistors = resistors;
    this.formula = formula;
    this.first = new SweepNoise(sweeps.first().response(), "first");
    this.second = new SweepNoise(sweeps.second().response(), "second");
  }

  /** A curve, or a figure at this frequency, with what is known of it. */
  Measurement on(Measurement result, double hertz, ToDoubleFunction<Impedance> figure) {
    return result.figure() instanceof Figure.OfCurve of
        ? Budgeted.onCurve(result, i -> at(of.curve().x(i), figure))
        : Budgeted.on(result, value -> at(hertz, figure));
  }

  /** Of a figure of the impedance at a frequency. */
  Budgeted at(double hertz, ToDoubleFunction<Impedance> figure) {
    double one = first.relative(hertz);
    double other = second.relative(hertz);
    if (Double.isNaN(one) || Double.isNaN(other)) {
      return Budgeted.lacking("a sweep long enough to see the noise in it");
    }
    List<Contribution> inputs = new ArrayList<>();
    List<String> lacking = new ArrayList<>();
    double[] values = new double[ohms.length + 4];
    for (int i = 0; i < ohms.length; i++) {
      values[i] = ohms[i];
      lacking.addAll(resistors.get(i).lacking());
      if (!resistors.get(i).lines().isEmpty()) {
        inputs.add(resistor(i));
      }
    }
    if (!lacking.isEmpty() || inputs.size() != ohms.length) {
      return lacking.isEmpty()
          ? Budgeted.lacking("one uncertainty for each resistor")
          : new Budgeted(List.of(), lacking);
    }
    String at = " at " + Quantity.of(hertz, Unit.HERTZ).display();
    inputs.add(noise("size of the first sweep" + at, one));
    inputs.add(noise("phase of the first sweep" + at, one));
    inputs.add(noise("size of the second sweep" + at, other));
    inputs.add(noise("phase of the second sweep" + at, other));
    int n = ohms.length;
    SweepResponse direct = sweeps.first().response();
    SweepResponse through = sweeps.second().response();
    return Budgeted.of(
        Propagation.budget(
                in ->
                    figure.applyAsDouble(
                        formula.of(
                            hertz,
                            in,
                            new Changed(direct, in[n], in[n + 1]),
                            new Changed(through, in[n + 2], in[n + 3]))),
                values,
                inputs)
            .contributions());
  }

  /** All that is not known of a resistor, as one line in ohms. */
  private Contribution resistor(int i) {
    List<Contribution> lines = resistors.get(i).lines();
    if (lines.size() == 1 && lines.get(0).unit() == Unit.OHM) {
      return lines.get(0).times(1);
    }
    Budget all = Budget.of(resistors.get(i).figure(ohms[i], Unit.OHM).lines());
    return Contribution.known(
            lines.get(0).name() + " and its temperature",
            Distribution.NORMAL,
            all.standard(),
            Unit.OHM)
        .with(all.degreesOfFreedom());
  }

  private static Contribution noise(String name, double relative) {
    return new Contribution(
        name, Evaluation.TYPE_A, Distribution.NORMAL, Side.BOTH, relative, Unit.ONE, 1, NOISE);
  }
}
