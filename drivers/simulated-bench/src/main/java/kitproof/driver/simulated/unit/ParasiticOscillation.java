package kitproof.driver.simulated.unit;

/**
 * A stage whose wiring feeds back on itself: a local loop with a limit cycle near 38 kHz.
 *
 * <p>Van der Pol's equation, {@code y″ = µω(2g − 1 − y²/4)y′ − ω²y}: negative damping while the
 * valve's gain g (0…1) is more than half, taken away by the amplitude, so that a warm stage settles
 * at an amplitude of 4 and a cold one falls silent. It stands for an instability of the whole loop,
 * whose limit cycle at full power would drown every other figure of the unit.
 */
final class ParasiticOscillation {
  private static final double FREQUENCY = 38e3;
  private static final double GROWTH = 0.05;

  private final double scale;
  private double y = 1e-3;
  private double slope;
  private double omega;

  ParasiticOscillation(double scale) {
    this.scale = scale;
  }

  boolean present() {
    return scale != 0;
  }

  void prepare(double seconds) {
    // Semi-implicit Euler oscillates at sin(ωh/2) = Ωh/2: take the Ω that gives the frequency.
    omega = 2 * Math.sin(Math.PI * FREQUENCY * seconds);
  }

  /** Volts at the stage's input after one step; {@code gain} 0…1. */
  double step(double gain) {
    slope += GROWTH * omega * (2 * gain - 1 - y * y / 4) * slope - omega * y;
    y += omega * slope;
    y = Math.max(-10, Math.min(10, y));
    if (Math.abs(y) + Math.abs(slope) < 1e-9) {
      y = 1e-9;
    }
    return scale * y / 4;
  }
}
