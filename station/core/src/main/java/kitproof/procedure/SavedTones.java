package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.signal.CapturedStairs;
import kitproof.signal.Levels;
import kitproof.signal.ToneFigures;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Many tones of saved captures, told as the procedures tell live ones: distortion against power and
 * against frequency.
 */
public final class SavedTones {
  private static final Duration NO_TIME = Duration.ofSeconds(1);

  private SavedTones() {}

  /**
   * As {@code distortion-against-power} measures.
   *
   * @param stairs from the lowest up; the climb ends where the output gives no more
   * @param inputVolts the drive of each, rms; empty if it is not known
   * @param rated the power whose input voltage is the input sensitivity; may be null
   */
  public static List<Measurement> againstPower(
      List<CapturedStairs.Stair> stairs,
      double[] inputVolts,
      double loadOhms,
      @Nullable Quantity rated,
      Quantity tone,
      QuantityRange band,
      int harmonics,
      Conditions conditions) {
    List<PowerStairs.Stair> climbed = new ArrayList<>();
    double last = 0;
    for (int i = 0; i < stairs.size(); i++) {
      ToneFigures figures = stairs.get(i).figures();
      double watts = Levels.watts(figures.levelVolts(), loadOhms);
      if (watts <= last) {
        break;
      }
      last = watts;
      double input = inputVolts.length == 0 ? Double.NaN : inputVolts[i];
      climbed.add(new PowerStairs.Stair(watts, input, figures));
    }
    QuantityRange powers =
        new QuantityRange(Quantity.of(1e-6, Unit.WATT), Quantity.of(1e6, Unit.WATT));
    DistortionAgainstPowerProcedure.Settings settings =
        new DistortionAgainstPowerProcedure.Settings(
            "",
            powers,
            inputVolts.length == 0 ? null : rated,
            tone,
            8,
            Quantity.of(50, Unit.PERCENT),
            band,
            harmonics,
            NO_TIME);
    return DistortionAgainstPowerProcedure.figures(
            settings, new PowerStairs.Climb(climbed, ""), conditions)
        .stream()
        .filter(m -> inputVolts.length > 0 || !m.name().startsWith("input "))
        .toList();
  }

  /**
   * As {@code distortion-against-frequency} measures; the power is whatever each tone has.
   *
   * @param tones by rising frequency
   */
  public static List<Measurement> againstFrequency(
      List<ToneFigures> tones, QuantityRange band, int harmonics, Conditions conditions) {
    Quantity power = Quantity.of(1, Unit.WATT);
    DistortionAgainstFrequencyProcedure.Settings settings =
        new DistortionAgainstFrequencyProcedure.Settings(
            "",
            List.of(power),
            new QuantityRange(Quantity.of(1, Unit.HERTZ), Quantity.of(1e6, Unit.HERTZ)),
            1,
            band,
            harmonics,
            NO_TIME);
    List<DistortionAgainstFrequencyProcedure.Point> points = new ArrayList<>();
    for (ToneFigures figures : tones) {
      points.add(
          new DistortionAgainstFrequencyProcedure.Point(
              figures.frequencyHz(), new Levelling.Level(1, figures.levelVolts(), figures, "")));
    }
    List<Measurement> found = new ArrayList<>();
    for (Measurement m :
        DistortionAgainstFrequencyProcedure.curves(settings, power, conditions, points, "")) {
      Conditions without = Conditions.NONE;
      for (var condition : m.conditions().values().entrySet()) {
        if (!condition.getKey().equals("power")) {
          without = without.with(condition.getKey(), condition.getValue());
        }
      }
      found.add(new Measurement(m.name(), without, m.figure(), m.note()));
    }
    return found;
  }
}
