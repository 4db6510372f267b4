package kitproof.driver.relayswitcher;

import java.util.Map;
import java.util.NavigableSet;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;
import org.jspecify.annotations.Nullable;

/**
 * Relays on the coils of a Modbus slave.
 *
 * <p>Neighbouring coils are written in one frame, and never a coil that has no name here: another
 * may use it. Modbus boards do not say who they are, so the identity is the address.
 */
final class ModbusBoard implements RelayBoard {
  /** MODBUS Application Protocol Specification V1.1b3, 6.1 and 6.11: what one frame may carry. */
  private static final int MOST_READ = 2_000;

  private static final int MOST_WRITTEN = 1_968;

  private final ModbusLine line;
  private final Identity identity;
  private final Map<String, Integer> coils;

  ModbusBoard(ModbusLine line, String where, Map<String, Integer> coils) {
    this.line = line;
    this.identity = new Identity("", "Modbus relay board", where, "");
    this.coils = coils;
  }

  @Override
  public Identity identity() {
    return identity;
  }

  /**
   * Releases what is to be released before it energises what is to be energised. A frame that fails
   * does not keep the other relays from being released, only from being energised.
   */
  @Override
  public void set(Map<String, Boolean> wanted) throws InstrumentException {
    for (boolean energise : new boolean[] {false, true}) {
      TreeSet<Integer> addresses = new TreeSet<>();
      wanted.forEach(
          (relay, state) -> {
            if (state == energise) {
              addresses.add(coils.get(relay));
            }
          });
      write(addresses, energise);
    }
  }

  private void write(NavigableSet<Integer> addresses, boolean on) throws InstrumentException {
    @Nullable InstrumentException first = null;
    while (!addresses.isEmpty() && (first == null || !on)) {
      int coil = addresses.first();
      int count = 0;
      while (count < MOST_WRITTEN && addresses.remove(coil + count)) {
        count++;
      }
      try {
        line.exchange(
            count == 1 ? ModbusFrame.writeCoil(coil, on) : ModbusFrame.writeCoils(coil, count, on));
      } catch (InstrumentException e) {
        if (first == null) {
          first = e;
        } else {
          first.addSuppressed(e);
        }
      }
    }
    if (first != null) {
      throw first;
    }
  }

  @Override
  public Set<String> energised() throws InstrumentException {
    TreeMap<Integer, String> byAddress = new TreeMap<>();
    coils.forEach((relay, address) -> byAddress.put(address, relay));
    Set<String> on = new TreeSet<>();
    while (!byAddress.isEmpty()) {
      int first = byAddress.firstKey();
      int last = byAddress.floorKey(first + MOST_READ - 1);
      byte[] states = line.exchange(ModbusFrame.readCoils(first, last - first + 1));
      byAddress
          .headMap(last, true)
          .forEach(
              (address, relay) -> {
                if (ModbusFrame.coil(states, address - first)) {
                  on.add(relay);
                }
              });
      byAddress.headMap(last, true).clear();
    }
    return on;
  }

  @Override
  public void close() {
    line.close();
  }
}
