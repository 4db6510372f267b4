package kitproof.report;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Who made the units, as it stands on their certificates.
 *
 * @param name as on a letterhead
 * @param address line by line; may be empty
 * @param motto a line of the maker's own; empty if there is none
 * @param logo null if there is none
 */
public record Maker(String name, List<String> address, String motto, @Nullable Logo logo) {
  public Maker {
    address = List.copyOf(address);
  }
}
