package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.ToneFigures;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Puts what a capture shows into words for who watches a step. Pure. */
final class OnTheWay {
  private OnTheWay() {}

  /** Of whatever came back; empty if that has no level. */
  static Optional<Heard> of(ToneBench.Channel channel, double[] volts) {
    return quantity(Levels.rms(volts), Unit.VOLT)
        .map(output -> new Heard(channel.name(), output, null, null, List.of()));
  }

  /**
   * Of a tone.
   *
   * @param ohms the loads that have been asked for, by channel
   * @param there whether it has the level at which it is to be measured, so that its distortion
   *     means something
   */
  static Optional<Heard> of(
      CoherentTone tone,
      ToneBench.Channel channel,
      double drivePeakVolts,
      ToneFigures figures,
      Map<String, Double> ohms,
      boolean there) {
    List<Heard.Figure> found = new ArrayList<>();
    double gain = figures.levelVolts() * Math.sqrt(2) / drivePeakVolts;
    add(found, "gain", null, Levels.db(gain), Unit.DECIBEL);
    if (there) {
      add(found, "thd+n", null, 100 * figures.thdPlusNoise(), Unit.PERCENT);
      if (!figures.harmonics().isEmpty()) {
        add(found, "thd", null, 100 * figures.thd(), Unit.PERCENT);
      }
    }
    Double load = ohms.get(channel.name());
    double watts = load == null ? Double.NaN : Levels.watts(figures.levelVolts(), load);
    return quantity(figures.levelVolts(), Unit.VOLT)
        .map(
            output ->
                new Heard(
                    channel.name(),
                    output,
                    quantity(tone.frequencyHz(), Unit.HERTZ).orElse(null),
                    quantity(watts, Unit.WATT).orElse(null),
                    found));
  }

  /** Of a stair. */
  static Optional<Heard> of(
      CoherentTone tone,
      ToneBench.Channel channel,
      PowerStairs.Stair stair,
      Map<String, Double> ohms) {
    List<Heard.Figure> found = new ArrayList<>();
    Quantity at = Quantity.of(stair.watts(), Unit.WATT);
    add(found, "thd+n against power", at, 100 * stair.figures().thdPlusNoise(), Unit.PERCENT);
    if (!stair.figures().harmonics().isEmpty()) {
      add(found, "thd against power", at, 100 * stair.figures().thd(), Unit.PERCENT);
    }
    return of(tone, channel, stair.inputVolts() * Math.sqrt(2), stair.figures(), ohms, true)
        .map(heard -> heard.with(found));
  }

  private static void add(
      List<Heard.Figure> found, String result, @Nullable Quantity at, double value, Unit unit) {
    quantity(value, unit).ifPresent(told -> found.add(new Heard.Figure(result, at, told)));
  }

  /** Nothing that is shown may break off what is measured. */
  private static Optional<Quantity> quantity(double value, Unit unit) {
    return Double.isFinite(value) ? Optional.of(Quantity.of(value, unit)) : Optional.empty();
  }
}
