package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.ToneFigures;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Puts what a capture shows into words for who watches a step. Pure. */
final class OnTheWay {
  private OnTheWay() {}

  /** Of whatever came back. */
  static Heard of(ToneBench.Channel channel, double[] volts) {
    return new Heard(
        channel.name(), Quantity.of(Levels.rms(volts), Unit.VOLT), null, null, List.of());
  }

  /**
   * Of a tone.
   *
   * @param ohms the loads that have been asked for, by channel
   */
  static Heard of(
      CoherentTone tone,
      ToneBench.Channel channel,
      double drivePeakVolts,
      ToneFigures figures,
      Map<String, Double> ohms) {
    List<Heard.Figure> found = new ArrayList<>();
    add(
        found,
        "gain",
        null,
        Levels.db(figures.levelVolts() * Math.sqrt(2) / drivePeakVolts),
        Unit.DECIBEL);
    add(found, "thd+n", null, 100 * figures.thdPlusNoise(), Unit.PERCENT);
    if (!figures.harmonics().isEmpty()) {
      add(found, "thd", null, 100 * figures.thd(), Unit.PERCENT);
    }
    Double load = ohms.get(channel.name());
    return new Heard(
        channel.name(),
        Quantity.of(figures.levelVolts(), Unit.VOLT),
        Quantity.of(tone.frequencyHz(), Unit.HERTZ),
        load == null ? null : Quantity.of(Levels.watts(figures.levelVolts(), load), Unit.WATT),
        found);
  }

  /** Of a stair. */
  static Heard of(
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
    return of(tone, channel, stair.inputVolts() * Math.sqrt(2), stair.figures(), ohms).with(found);
  }

  private static void add(
      List<Heard.Figure> found, String result, @Nullable Quantity at, double value, Unit unit) {
    if (Double.isFinite(value)) {
      found.add(new Heard.Figure(result, at, Quantity.of(value, unit)));
    }
  }
}
