package kitproof.driver.simulated;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import kitproof.driver.Settings;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What a meter role says.
 *
 * @param bench the name that the switcher gives too
 * @param functions by name, at least one
 * @param readingTime how long one reading takes
 * @param gain what it shows over what there is
 * @param leads resistance of its leads, which it shows too at the bench's resistors; 0 with four
 *     wires
 */
record MeterSettings(
    String bench,
    Map<String, Function> functions,
    Duration readingTime,
    double gain,
    double leads) {
  /** Three cycles of 50 Hz mains, so that its ripple averages out. */
  private static final Duration READING_TIME = Duration.ofMillis(60);

  /**
   * One function.
   *
   * @param point where the leads are
   * @param range the largest reading, or null for any
   */
  record Function(Point point, @Nullable Quantity range) {}

  static MeterSettings read(Settings settings) {
    String bench = settings.text("bench");
    Map<String, Function> functions = new LinkedHashMap<>();
    settings
        .parts("functions")
        .forEach(
            (name, part) -> {
              Point point = part.choice("point", Point.class, null);
              Quantity range = null;
              if (part.has("range")) {
                range = part.quantity("range", point.unit());
                if (range.value() <= 0) {
                  part.reject("range", "more than zero");
                }
              }
              functions.put(name, new Function(point, range));
            });
    if (functions.isEmpty()) {
      settings.reject("functions", "at least one function, such as {hv: {point: hv}}");
    }
    Duration time = settings.duration("reading-time", READING_TIME);
    if (time.isZero()) {
      settings.reject("reading-time", "more than zero");
    }
    double error = settings.quantity("error", Unit.PERCENT, 0).value();
    if (Math.abs(error) > 10) {
      settings.reject("error", "-10 % to 10 %");
    }
    double leads = settings.quantity("leads", Unit.OHM, 0).value();
    if (leads < 0 || leads > 10) {
      settings.reject("leads", "0 ohm to 10 ohm");
    }
    return new MeterSettings(bench, functions, time, 1 + error / 100, leads);
  }
}
