package kitproof.plugin;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;

/**
 * The driver plugins that were found.
 *
 * @param byId those that can be used, in the order they were found
 * @param origins id to where it came from, for people
 * @param troubles those that cannot be used, and why; they do not stop the others
 */
public record Drivers(
    Map<String, DriverProvider> byId, Map<String, String> origins, List<Trouble> troubles) {
  public Drivers {
    byId = Collections.unmodifiableMap(new LinkedHashMap<>(byId));
    origins = Collections.unmodifiableMap(new LinkedHashMap<>(origins));
    troubles = List.copyOf(troubles);
  }

  /** These, and one that comes with the program. */
  public Drivers and(DriverProvider driver) {
    Map<String, DriverProvider> all = new LinkedHashMap<>(byId);
    Map<String, String> from = new LinkedHashMap<>(origins);
    all.put(driver.describe().id(), driver);
    from.put(driver.describe().id(), "this program");
    return new Drivers(all, from, troubles);
  }

  /**
   * A plugin that cannot be used.
   *
   * @param origin the jar's file name, or "class path"
   * @param reason for people
   */
  public record Trouble(String origin, String reason) {
    @Override
    public String toString() {
      return origin + ": " + reason;
    }
  }
}
