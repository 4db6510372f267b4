package kitproof.driver.relayswitcher;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.driver.serial.Conversation;
import kitproof.driver.serial.LineSettings;
import kitproof.driver.serial.ScpiSession;
import kitproof.driver.serial.ScpiSettings;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/**
 * A role's settings, read.
 *
 * @param relays relay names with their coil address or channel number
 * @param scpi how to talk if the protocol is SCPI, otherwise null
 * @param unit the slave's address if the protocol is Modbus
 * @param timeout for a Modbus reply
 * @param watchdog the Modbus board's own, which is to be refreshed, or null
 */
record BoardSettings(
    LineSettings line,
    Map<String, Integer> relays,
    @Nullable ScpiSettings scpi,
    int unit,
    Duration timeout,
    @Nullable Watchdog watchdog) {

  /**
   * A board's own watchdog: a holding register that must be written again and again, or the board
   * releases its relays.
   *
   * @param register its address, from 0
   * @param value what is written
   * @param every how often
   */
  record Watchdog(int register, int value, Duration every) {
    static final Setting DESCRIPTION =
        new Setting(
            "watchdog",
            "{register: 16, value: 50, every: 1 s}",
            "none",
            "Modbus: the holding register, from 0, that keeps the board's own watchdog waiting,"
                + " what to write, and how often");

    private static final Duration SHORTEST = Duration.ofMillis(50);

    static @Nullable Watchdog read(Settings settings) {
      Settings part = settings.part("watchdog");
      if (!settings.has("watchdog")) {
        return null;
      }
      for (String needed : List.of("register", "value")) {
        if (!part.has(needed)) {
          part.reject(needed, "\"" + needed + "\": a whole number from 0 to 65535");
        }
      }
      Duration every = part.duration("every", Duration.ofSeconds(1));
      if (every.compareTo(SHORTEST) < 0) {
        part.reject("every", "at least " + SHORTEST.toMillis() + " ms");
      }
      return new Watchdog(
          part.integer("register", 0, 65_535, 0), part.integer("value", 0, 65_535, 0), every);
    }
  }

  /** The protocols, as bench files name them. */
  enum Protocol {
    MODBUS_RTU("modbus-rtu"),
    SCPI("scpi");

    private final String word;

    Protocol(String word) {
      this.word = word;
    }

    @Override
    public String toString() {
      return word;
    }
  }

  private static final String TIMEOUT = "timeout";
  private static final String START = "start";
  private static final Pattern MOVES_RELAYS =
      Pattern.compile("\\*RST\\b|\\*RCL\\b|:?SYST(EM)?:PRES(ET)?\\b|:?ROUT(E)?\\d*:");
  private static final String NOTHING_THAT_MOVES =
      "commands that move no relay, as they are sent again after every lost answer; no *RST, *RCL,"
          + " SYSTem:PRESet or ROUTe";

  static final List<Setting> DESCRIPTION = description();

  private static List<Setting> description() {
    List<Setting> all = new ArrayList<>();
    all.add(new Setting("protocol", "modbus-rtu or scpi", "", "what the board speaks"));
    all.add(
        new Setting(
            "relays",
            "names with numbers, such as {K1: 0, K2: 1}",
            "",
            "each relay's coil address from 0 (Modbus) or channel number (SCPI)"));
    all.add(
        new Setting("unit", "a whole number from 1 to 247", "1", "Modbus: the board's address"));
    all.add(Watchdog.DESCRIPTION);
    for (Setting setting : ScpiSettings.DESCRIPTION) {
      all.add(
          setting.key().equals(TIMEOUT)
              ? new Setting(
                  TIMEOUT,
                  setting.form(),
                  "500 ms with modbus-rtu, 2 s with scpi",
                  setting.meaning())
              : new Setting(
                  setting.key(), setting.form(), setting.initial(), "SCPI: " + setting.meaning()));
    }
    return List.copyOf(all);
  }

  /** Reads the settings; what is wrong is kept there. */
  static BoardSettings read(Settings settings) {
    LineSettings line = LineSettings.read(settings);
    Protocol protocol = settings.choice("protocol", Protocol.class, null);
    Map<String, Integer> relays = relays(settings, protocol);
    if (protocol == Protocol.SCPI) {
      ScpiSettings scpi = ScpiSettings.read(settings);
      if (scpi.start().stream().anyMatch(BoardSettings::movesRelays)) {
        settings.reject(START, NOTHING_THAT_MOVES);
      }
      return new BoardSettings(line, relays, scpi, 0, scpi.timeout(), null);
    }
    int unit = settings.integer("unit", 1, 247, 1);
    Duration timeout = settings.duration(TIMEOUT, Duration.ofMillis(500));
    return new BoardSettings(line, relays, null, unit, timeout, Watchdog.read(settings));
  }

  /**
   * Whether a line is known to let go of relays or to move them: a reset, a preset, a state
   * recalled, or a command to the routes. They are sent again whenever an answer was lost, be it
   * under drive.
   *
   * <p>Source: IEEE 488.2, common commands; SCPI-1999 Volume 2, ROUTe and SYSTem subsystems (from
   * memory).
   */
  private static boolean movesRelays(String line) {
    return Stream.of(line.split(";", -1))
        .map(command -> command.strip().toUpperCase(Locale.ROOT))
        .anyMatch(command -> MOVES_RELAYS.matcher(command).lookingAt());
  }

  private static Map<String, Integer> relays(Settings settings, Protocol protocol) {
    Map<String, Integer> relays = new LinkedHashMap<>();
    Map<Integer, String> taken = new HashMap<>();
    int highest = protocol == Protocol.MODBUS_RTU ? 65_535 : 999_999_999;
    Settings part = settings.part("relays");
    for (Node.Entry entry : part.section().entries()) {
      String name = entry.key();
      int none = -1 - relays.size(); // a wrong number must not look like another relay's
      int number = part.integer(name, 0, highest, none);
      String other = taken.putIfAbsent(number, name);
      if (other != null) {
        part.reject(name, "a number of its own, as " + other + " has this one");
      }
      relays.put(name, number);
    }
    if (relays.isEmpty()) {
      settings.reject("relays", "at least one relay, such as {K1: 0}");
    }
    return relays;
  }

  /** The relays that routes name and the board has not. */
  List<Problem> missing(Settings settings, List<Route> routes) {
    Map<String, String> unknown = new TreeMap<>();
    for (Route route : routes) {
      for (String relay : route.relays()) {
        if (!relays.containsKey(relay)) {
          unknown.putIfAbsent(relay, route.name());
        }
      }
    }
    Optional<Location> place = settings.section().get("relays").map(Node::location);
    List<Problem> problems = new ArrayList<>();
    unknown.forEach(
        (relay, route) ->
            problems.add(
                Problem.unknownName(
                    place.orElse(settings.section().location()),
                    "route \"" + route + "\" with relay",
                    relay,
                    relays.keySet())));
    return problems;
  }

  /** Opens the board behind the conversation; closes that if it fails. */
  RelayBoard open(Conversation conversation) throws InstrumentException {
    if (scpi != null) {
      return new ScpiBoard(ScpiSession.open(conversation, scpi), relays);
    }
    ModbusLine modbus = new ModbusLine(conversation, unit, line.format(), timeout);
    RelayBoard board = new ModbusBoard(modbus, "unit " + unit + " at " + line.line(), relays);
    if (watchdog == null) {
      return board;
    }
    modbus.open();
    return WatchedBoard.open(board, () -> modbus.refresh(watchdog), watchdog.every());
  }
}
