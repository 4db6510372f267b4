package kitproof.screen;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Everything a page shows, so that a page that is opened in the middle of a run is right at once.
 *
 * @param now milliseconds
 * @param pace bench seconds per real second
 * @param token what a page says with everything that changes something; empty for a stranger
 * @param control who drives
 * @param notes of the station, latest last
 * @param running whether a run is going on
 * @param unit serial number of the unit on the bench; empty if there is none yet
 * @param trouble why the last run could not be begun or recorded; empty if nothing is wrong
 * @param rail the HV rail
 * @param opening whether the unit may be opened
 * @param run the run that goes on, or else the last one; null if there has been none
 */
record ScreenView(
    long now,
    String shop,
    String station,
    String bench,
    double pace,
    String token,
    Driving control,
    List<String> notes,
    boolean running,
    String unit,
    String trouble,
    RailView rail,
    OpeningView opening,
    @Nullable RunView run) {

  /**
   * Who drives.
   *
   * @param mine whether this browser does
   * @param held whether anybody does
   * @param free whether this browser may take the controls
   * @param here whether this place may drive at all
   */
  record Driving(boolean mine, boolean held, boolean free, boolean here) {}

  /**
   * The HV rail.
   *
   * @param source meter and function; empty if the plan does not read it
   * @param value for people; empty if it has not been read in this run
   * @param share of the limit, from 0 to 1
   * @param limit above this the mains is taken away; empty if nothing watches
   * @param ageSeconds since it was read
   */
  record RailView(String source, String value, double share, String limit, double ageSeconds) {}

  /**
   * Whether the unit may be opened.
   *
   * @param word "no", "yes" or "unknown"
   * @param reason what it rests on
   */
  record OpeningView(String word, String reason) {}
}
