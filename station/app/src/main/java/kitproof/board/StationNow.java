package kitproof.board;

import java.time.Duration;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/** What is known of a station at this moment. */
final class StationNow {
  final String shop;
  final String station;
  String state = "unknown";

  /** When its state became what it is, or null if that was before this board listened. */
  @Nullable Instant since;

  /** When it was last heard of. */
  Instant heard;

  boolean simulated;
  double pace = 1;
  Told.@Nullable Running running;

  /** What it last said of opening the unit that stands there; null if nothing. */
  Told.@Nullable Opening opening;

  /** The latest run that it began. */
  @Nullable Run latest;

  StationNow(String shop, String station, Instant heard) {
    this.shop = shop;
    this.station = station;
    this.heard = heard;
  }

  /** Notes a run that has told something; the one that is the latest by the calendar stays. */
  void newest(Run run) {
    Run known = latest;
    if (!run.forgotten && (known == null || known == run || isLater(run, known))) {
      latest = run;
    }
  }

  private static boolean isLater(Run run, Run known) {
    int order = run.when().compareTo(known.when());
    return order > 0 || (order == 0 && run.place.run().compareTo(known.place.run()) > 0);
  }

  /** Keeps no run that the board has given up. */
  void letGo() {
    if (latest != null && latest.forgotten) {
      latest = null;
    }
  }

  /**
   * Takes in what it says.
   *
   * @param age how long the broker has kept that; null if it does not say
   */
  void become(Told.OfStatus status, Instant now, @Nullable Duration age) {
    if (!status.state().equals(state)) {
      Instant told = status.time() != null || age == null ? status.time() : now.minus(age);
      // That it went may have been kept for this board, which had no broker then.
      boolean tells = state.equals("unknown") || (status.state().equals("offline") && told != null);
      since = !tells ? now : told != null && told.isAfter(now) ? now : told;
      state = status.state();
    }
    if (!state.equals("offline")) { // what it was at when it went is worth knowing
      running = status.running();
      simulated = status.simulated();
      pace = status.pace();
    }
    opening = status.opening();
    heard = now;
  }
}
