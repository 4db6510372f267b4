package kitproof.driver;

import java.util.List;
import java.util.Set;

/**
 * What a driver says of itself.
 *
 * @param id as bench files name it, for example "serial-meter"
 * @param summary one sentence
 * @param kinds the kinds of instrument it opens
 * @param settings what may stand in a role's settings, at the top level
 */
public record DriverDescription(
    String id, String summary, Set<InstrumentKind> kinds, List<Setting> settings) {
  public DriverDescription {
    kinds = Set.copyOf(kinds);
    settings = List.copyOf(settings);
  }

  /**
   * One setting.
   *
   * @param key as written
   * @param form what the value looks like, for example "duration, such as \"500 ms\""
   * @param initial what holds if it is left out; empty if it must be given
   * @param meaning one sentence
   */
  public record Setting(String key, String form, String initial, String meaning) {}
}
