package kitproof.document;

import java.util.List;
import kitproof.value.Location;
import kitproof.value.Problem;

/**
 * A record that knows what else must hold among its values.
 *
 * <p>{@link Binder} asks it as soon as it is made, so that such problems come together with all the
 * others of the file. Values that may be complained of are best {@link Located}.
 */
public interface SelfChecked {
  /**
   * Everything that is wrong; empty if nothing is.
   *
   * @param section where the record's section begins, for what has no place of its own
   */
  List<Problem> problems(Location section);
}
