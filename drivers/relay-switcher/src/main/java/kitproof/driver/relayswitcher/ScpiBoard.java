package kitproof.driver.relayswitcher;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;
import kitproof.driver.serial.ScpiSession;

/**
 * A SCPI switch: {@code ROUTe:OPEN (@…)}, {@code ROUTe:CLOSe (@…)} and {@code ROUTe:CLOSe? (@…)}.
 *
 * <p>Source: SCPI-1999 Volume 2, ROUTe subsystem; channel lists: Volume 1, 8.3.2 (from memory).
 */
final class ScpiBoard implements RelayBoard {
  private final ScpiSession session;
  private final Map<String, Integer> channels;

  ScpiBoard(ScpiSession session, Map<String, Integer> channels) {
    this.session = session;
    this.channels = channels;
  }

  @Override
  public Identity identity() {
    return session.identity();
  }

  @Override
  public void recognise() throws InstrumentException {
    session.recognise();
  }

  /** Opens what is to be opened before it closes what is to be closed. */
  @Override
  public void set(Map<String, Boolean> wanted) throws InstrumentException {
    for (boolean energise : new boolean[] {false, true}) {
      List<String> relays =
          wanted.entrySet().stream()
              .filter(entry -> entry.getValue() == energise)
              .map(Map.Entry::getKey)
              .toList();
      if (!relays.isEmpty()) {
        session.command((energise ? "ROUT:CLOS " : "ROUT:OPEN ") + list(relays));
      }
    }
  }

  @Override
  public Set<String> energised() throws InstrumentException {
    List<String> relays = new ArrayList<>(channels.keySet());
    String question = "ROUT:CLOS? " + list(relays);
    String answer = session.query(question);
    String[] states = answer.split(",", -1);
    if (states.length != relays.size()) {
      throw session.nonsense(question, answer, relays.size() + " states");
    }
    Set<String> on = new TreeSet<>();
    for (int i = 0; i < states.length; i++) {
      switch (states[i].strip()) {
        case "1" -> on.add(relays.get(i));
        case "0" -> {}
        default -> throw session.nonsense(question, answer, "0 or 1 for each channel");
      }
    }
    return on;
  }

  private String list(List<String> relays) {
    return relays.stream()
        .map(relay -> String.valueOf(channels.get(relay)))
        .collect(Collectors.joining(",", "(@", ")"));
  }

  @Override
  public void close() {
    session.close();
  }
}
