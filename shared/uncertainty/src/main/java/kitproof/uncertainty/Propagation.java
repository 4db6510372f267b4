package kitproof.uncertainty;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import kitproof.value.Contribution;

/** How much a figure changes with what it is computed from. */
public final class Propagation {
  /** Of a quantity that is known exactly, a change of this part of it is tried. */
  private static final double TRIED = 1e-6;

  private Propagation() {}

  /**
   * The sensitivity of a figure to each of its inputs: half of what it changes between one standard
   * uncertainty below and one above, over that uncertainty (JCGM 100:2008, 5.1.3, note 2).
   *
   * @param figure computes it from the inputs
   * @param inputs the estimates
   * @param standard their standard uncertainties, none negative
   * @return by input, in the figure's unit per the input's
   */
  public static double[] sensitivities(
      ToDoubleFunction<double[]> figure, double[] inputs, double[] standard) {
    double[] found = new double[inputs.length];
    for (int i = 0; i < inputs.length; i++) {
      double step = standard[i] > 0 ? standard[i] : TRIED * Math.max(Math.abs(inputs[i]), TRIED);
      double[] low = inputs.clone();
      double[] high = inputs.clone();
      low[i] -= step;
      high[i] += step;
      found[i] = (figure.applyAsDouble(high) - figure.applyAsDouble(low)) / (high[i] - low[i]);
    }
    return found;
  }

  /**
   * The contributions of a figure's inputs, each with its sensitivity there.
   *
   * @param inputs the estimates
   * @param uncertain what is not known of each, in the same order; its own sensitivity is replaced
   */
  public static Budget budget(
      ToDoubleFunction<double[]> figure, double[] inputs, List<Contribution> uncertain) {
    if (uncertain.size() != inputs.length) {
      throw new IllegalArgumentException(
          inputs.length + " inputs, " + uncertain.size() + " contributions");
    }
    double[] standard = uncertain.stream().mapToDouble(Contribution::standard).toArray();
    double[] sensitivities = sensitivities(figure, inputs, standard);
    List<Contribution> lines = new ArrayList<>();
    for (int i = 0; i < inputs.length; i++) {
      lines.add(uncertain.get(i).times(sensitivities[i]));
    }
    return Budget.of(lines);
  }
}
