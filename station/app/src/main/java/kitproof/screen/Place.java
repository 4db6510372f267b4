package kitproof.screen;

import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.Set;

/**
 * From where the bench may be driven: from this machine, and from devices at the bench that were
 * named when the program was started. Everybody else watches: nobody starts a run from afar.
 *
 * @param devices numeric addresses
 */
public record Place(Set<String> devices) {
  /**
   * Only addresses can be compared with where a request comes from.
   *
   * @throws IllegalArgumentException with what was expected
   */
  public Place {
    for (String device : devices) {
      if (!device.matches("[0-9.]+|[0-9A-Fa-f:]*:[0-9A-Fa-f:.]*")) {
        throw new IllegalArgumentException("a numeric address such as 192.0.2.7");
      }
    }
    devices = Set.copyOf(devices);
  }

  /**
   * Whether a request comes from the bench.
   *
   * @param address where from
   * @param forwarded whether somebody in between has passed it on, from who knows where
   */
  boolean isHere(String address, boolean forwarded) {
    if (forwarded) {
      return false;
    }
    try {
      InetAddress from = InetAddress.getByName(address); // numeric, so nobody is asked
      if (from.isLoopbackAddress()) {
        return true;
      }
      for (String device : devices) {
        if (InetAddress.getByName(device).equals(from)) {
          return true;
        }
      }
      return false;
    } catch (UnknownHostException e) {
      return false;
    }
  }
}
