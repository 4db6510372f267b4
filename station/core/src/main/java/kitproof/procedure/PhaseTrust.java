package kitproof.procedure;

import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Unit;

/** How well a phase of output against drive is known: by path and delay, and by the noise seen. */
final class PhaseTrust {
  private PhaseTrust() {}

  /**
   * A curve of phases from a sweep, on a calibrated bench.
   *
   * @param noise in that sweep
   */
  static Measurement known(
      ToneBench audio, ToneBench.Channel channel, SweepNoise noise, Measurement phase) {
    return audio.trust().isPresent() && phase.figure() instanceof Figure.OfCurve of
        ? Budgeted.onCurve(phase, i -> at(audio.trust().get(), channel, noise, of.curve().x(i)))
        : phase;
  }

  private static Budgeted at(
      AudioTrust trust, ToneBench.Channel channel, SweepNoise noise, double hertz) {
    double relative = noise.relative(hertz);
    return Double.isNaN(relative)
        ? Budgeted.lacking("a sweep long enough to see the noise in it")
        : trust
            .path()
            .phase(channel, hertz)
            .and(
                new Contribution(
                    "noise in the sweep",
                    Evaluation.TYPE_A,
                    Distribution.NORMAL,
                    Side.BOTH,
                    Math.toDegrees(relative),
                    Unit.DEGREE,
                    1,
                    SweepNoise.DEGREES_OF_FREEDOM));
  }
}
