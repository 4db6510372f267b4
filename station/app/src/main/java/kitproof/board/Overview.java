package kitproof.board;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The first page. Times are milliseconds since 1970.
 *
 * @param version of the board
 * @param now when this was put together
 * @param batches all there are, the latest first
 * @param batch the one that is shown, or null if there is none
 */
public record Overview(
    long version,
    long now,
    Link link,
    Count count,
    List<StationView> stations,
    List<BatchKey> batches,
    @Nullable BatchView batch) {

  /**
   * Whether messages can come.
   *
   * @param since when it became so
   * @param trouble why not, or null
   */
  public record Link(boolean up, long since, @Nullable String trouble) {}
}
