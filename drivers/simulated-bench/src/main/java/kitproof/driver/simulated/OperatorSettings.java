package kitproof.driver.simulated;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import kitproof.driver.Settings;
import kitproof.value.Node;

/**
 * What an operator role says.
 *
 * @param bench the name that the switcher gives too
 * @param thinks how long the simulated person takes for an answer
 * @param turns what plans call a control, to the trimmer it is
 * @param sees the results that are read by eye, to the point where they are seen
 */
record OperatorSettings(
    String bench, Duration thinks, Map<String, Trimmer> turns, Map<String, Point> sees) {
  static OperatorSettings read(Settings settings) {
    String bench = settings.text("bench");
    Duration thinks = settings.duration("thinks", Duration.ofSeconds(1));
    return new OperatorSettings(
        bench,
        thinks,
        named(settings.part("turns"), Trimmer.class),
        named(settings.part("sees"), Point.class));
  }

  private static <E extends Enum<E>> Map<String, E> named(Settings section, Class<E> type) {
    Map<String, E> values = new LinkedHashMap<>();
    for (Node.Entry entry : section.section().entries()) {
      values.put(entry.key(), section.choice(entry.key(), type, null));
    }
    return values;
  }
}
