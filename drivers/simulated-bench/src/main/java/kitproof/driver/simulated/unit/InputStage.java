package kitproof.driver.simulated.unit;

/**
 * Generator resistance, coupling capacitor, input resistance and shunt: a band pass.
 *
 * <p>The shunt's pole is exact for a stepped input; the coupling capacitor is far slower than a
 * step and taken explicitly.
 */
final class InputStage {
  private final ChannelParts parts;
  private double memory;
  private double share;
  private double perStep;
  private double capacitor;
  private double node;

  InputStage(ChannelParts parts) {
    this.parts = parts;
  }

  /**
   * Prepares for a step width and a generator.
   *
   * @param sourceResistance ohms of the generator and what is in series
   */
  void prepare(double seconds, double sourceResistance) {
    double parallel = 1 / (1 / sourceResistance + 1 / parts.inputResistance());
    memory = Math.exp(-seconds / (parallel * parts.inputShunt()));
    share = parts.inputResistance() / (parts.inputResistance() + sourceResistance);
    perStep = seconds / (parts.inputCapacitance() * sourceResistance);
  }

  /** Volts at the first grid after one step with this generator voltage. */
  double step(double generator) {
    double open = generator - capacitor;
    double target = open * share;
    node = target + (node - target) * memory;
    capacitor += perStep * (open - node);
    return node;
  }

  /** Volts at the first grid now. */
  double node() {
    return node;
  }

  void rest() {
    capacitor = 0;
    node = 0;
  }
}
