package kitproof.peer;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * A Modbus RTU slave that is not ours (pymodbus) at the far end of a serial line.
 *
 * <p>Its coils are read and set on its own side. Unit address 1, 16 coils from address 0 unless
 * told otherwise; other unit addresses get no answer, other coils an exception.
 */
public final class ModbusSlave implements AutoCloseable {
  /** What may befall a reply on the wire. */
  public enum Fault {
    CRC,
    SILENT,
    HALF,
    LATE,
    NONE
  }

  private static final String PACKAGES = "python3-pymodbus python3-serial-asyncio";

  /** MODBUS Application Protocol Specification V1.1b3, 6: write a single coil, several coils. */
  private static final List<Integer> WRITES = List.of(5, 15);

  private final Peer peer;
  private final int coils;

  private ModbusSlave(Peer peer, int coils) {
    this.peer = peer;
    this.coils = coils;
  }

  /** Unit 1 with 16 coils. */
  public static ModbusSlave on(String port) {
    return on(port, 1, 16);
  }

  public static ModbusSlave on(String port, int unit, int coils) {
    return started(port, unit, coils, List.of());
  }

  /**
   * Unit 1 with 16 coils and a watchdog: what is written to this holding register, in tenths of a
   * second, is how long the coils stay on from then.
   */
  public static ModbusSlave withWatchdog(String port, int register) {
    return started(port, 1, 16, List.of("--watchdog", String.valueOf(register)));
  }

  private static ModbusSlave started(String port, int unit, int coils, List<String> more) {
    List<String> options =
        new ArrayList<>(
            List.of(
                "--port", port, "--unit", String.valueOf(unit), "--coils", String.valueOf(coils)));
    options.addAll(more);
    return new ModbusSlave(
        Peer.python(PACKAGES, "modbus_slave.py", options.toArray(new String[0])), coils);
  }

  /** How often the watchdog's register has been written. */
  public int refreshed() {
    return Integer.parseInt(peer.order("{\"refreshed\": true}"));
  }

  /** The addresses of the coils that are on. */
  public Set<Integer> coilsOn() {
    return addresses(peer.order("{\"coils\": " + coils + "}"));
  }

  /**
   * Every state that the coils were in since the start, oldest first, as the addresses of those
   * that were on: also one that was over before anybody could look.
   */
  public List<Set<Integer>> history() {
    List<Set<Integer>> history = new ArrayList<>();
    for (String state : peer.order("{\"history\": true}").split("\\], ", -1)) {
      history.add(addresses(state));
    }
    return history;
  }

  /** From a list of noughts and ones. */
  private static Set<Integer> addresses(String list) {
    String[] states = list.replaceAll("[\\[\\] ]", "").split(",", -1);
    Set<Integer> on = new TreeSet<>();
    for (int address = 0; address < states.length; address++) {
      if (states[address].equals("1")) {
        on.add(address);
      }
    }
    return on;
  }

  /**
   * A row of what the contacts do.
   *
   * @param coils addresses that must all be on
   * @param command a program with its arguments
   */
  public record Wire(Set<Integer> coils, List<String> command) {}

  /**
   * Wires the contacts: from now on, of the rows whose coils are all on, the last one's command is
   * run, at once and then before the reply to what moved them. A row that stays is not run again.
   */
  public void wire(List<Wire> rows) {
    List<String> written = new ArrayList<>();
    for (Wire row : rows) {
      String command =
          row.command().stream()
              .map(word -> '"' + word.replace("\\", "\\\\").replace("\"", "\\\"") + '"')
              .collect(Collectors.joining(", ", "[", "]"));
      written.add("[" + new TreeSet<>(row.coils()) + ", " + command + "]");
    }
    peer.order("{\"wiring\": [" + String.join(", ", written) + "]}");
  }

  /** Puts a coil on or off on its own side, as a relay that moves by itself. */
  public void put(int address, boolean state) {
    StringBuilder states = new StringBuilder();
    Set<Integer> on = coilsOn();
    for (int i = 0; i < coils; i++) {
      boolean now = i == address ? state : on.contains(i);
      states.append(i == 0 ? "" : ",").append(now ? 1 : 0);
    }
    peer.order("{\"set\": [" + states + "]}");
  }

  /** Lets go of all coils on its own side, as a board that is started anew. */
  public void letGo() {
    peer.order("{\"set\": [" + "0,".repeat(coils - 1) + "0]}");
  }

  /** From now on this coil's relay stays so, as one that is welded or does not pull. */
  public void stick(int address, boolean state) {
    peer.order("{\"stuck\": {\"" + address + "\": " + (state ? 1 : 0) + "}}");
  }

  /** From now on this coil cannot be written: that is answered with an exception. */
  public void refuse(int address) {
    peer.order("{\"refuse\": [" + address + "]}");
  }

  /** The reply after {@code skip} good ones suffers this fault; a late one is 1 s late. */
  public void failOnce(Fault fault, int skip) {
    fail(fault, skip, 1, List.of());
  }

  /** The reply to the next command to coils suffers this fault; questions do not. */
  public void failNextWrite(Fault fault) {
    fail(fault, 0, 1, WRITES);
  }

  /** So many replies in a row suffer this fault. */
  public void failTimes(Fault fault, int count) {
    fail(fault, 0, count, List.of());
  }

  /** Every reply suffers this fault until {@link Fault#NONE}. */
  public void failAlways(Fault fault) {
    fail(fault, 0, Integer.MAX_VALUE, List.of());
  }

  private void fail(Fault fault, int skip, int count, List<Integer> to) {
    peer.order(
        "{\"fault\": \""
            + fault.name().toLowerCase(Locale.ROOT)
            + "\", \"seconds\": 1.0, \"skip\": "
            + skip
            + ", \"count\": "
            + count
            + ", \"to\": "
            + to
            + "}");
  }

  public Peer peer() {
    return peer;
  }

  @Override
  public void close() {
    peer.close();
  }
}
