package kitproof.mqtt;

import java.util.List;
import kitproof.journal.SafeName;

/**
 * The topics, version 1.
 *
 * <pre>
 * kitproof/1/SHOP/STATION/status     retained: online, running, offline
 * kitproof/1/SHOP/STATION/run        what a run says of itself, from its start to its verdict
 * kitproof/1/SHOP/STATION/step       steps started and finished
 * kitproof/1/SHOP/STATION/result     each result with its judgement
 * kitproof/1/SHOP/unit/PRODUCT/SERIAL  retained: the unit's last verdict
 * kitproof/1/SHOP/verdict/PRODUCT/SERIAL/RUN retained: the verdict of one run and what failed
 * kitproof/1/SHOP/unit/PRODUCT/SERIAL/opening  retained: whether the unit may be opened
 * kitproof/1/SHOP/record/PRODUCT/SERIAL/RUN  retained: everything of one run, in brief
 * </pre>
 *
 * Users' words are one level each: {@code +}, {@code #}, {@code /}, {@code %} and control
 * characters are written {@code %XX}.
 */
public final class Topics {
  private static final String ROOT = "kitproof/1/";

  /** For a reader: what its stations are doing, and every entry of their runs. */
  public static final String STATIONS = ROOT + "+/+/+";

  /** For a reader: the verdicts of all runs, which are small. */
  public static final String VERDICTS = ROOT + "+/verdict/+/+/+";

  /** For a reader: the records of all runs. */
  public static final String RECORDS = ROOT + "+/record/+/+/+";

  /**
   * All that a dashboard listens to, in the order in which it is to be told: what stations do comes
   * first, and the verdicts before the many times larger records.
   */
  public static final List<String> DASHBOARD = List.of(STATIONS, VERDICTS, RECORDS);

  private Topics() {}

  public static String status(String shop, String station) {
    return station(shop, station) + "status";
  }

  /** Whether a topic is one of a station's status. */
  static boolean isStatus(String topic) {
    return topic.startsWith(ROOT) && topic.endsWith("/status");
  }

  public static String run(String shop, String station) {
    return station(shop, station) + "run";
  }

  public static String step(String shop, String station) {
    return station(shop, station) + "step";
  }

  public static String result(String shop, String station) {
    return station(shop, station) + "result";
  }

  static String unit(String shop, String product, String serial) {
    return ROOT + level(shop) + "/unit/" + level(product) + "/" + level(serial);
  }

  public static String verdict(String shop, String product, String serial, String run) {
    return ofRun("/verdict/", shop, product, serial, run);
  }

  static String opening(String shop, String product, String serial) {
    return unit(shop, product, serial) + "/opening";
  }

  public static String record(String shop, String product, String serial, String run) {
    return ofRun("/record/", shop, product, serial, run);
  }

  private static String ofRun(String kind, String shop, String product, String serial, String run) {
    return ROOT + level(shop) + kind + level(product) + "/" + level(serial) + "/" + level(run);
  }

  /** The station's name to the broker: one link of this name at a time. */
  static String clientName(Station station) {
    return "kitproof-" + level(station.shop()) + "-" + level(station.name());
  }

  private static String station(String shop, String station) {
    return ROOT + level(shop) + "/" + level(station) + "/";
  }

  private static String level(String words) {
    return SafeName.of(
        words,
        c ->
            c != '+'
                && c != '#'
                && c != '/'
                && !Character.isISOControl(c)
                && !(c >= 0xD800 && c <= 0xDFFF) // half a character is not UTF-8
                && (c & 0xFFFE) != 0xFFFE // nor are these meant for text (MQTT 5.0, 1.5.4)
                && !(c >= 0xFDD0 && c <= 0xFDEF));
  }
}
