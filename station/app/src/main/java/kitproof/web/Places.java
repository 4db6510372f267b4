package kitproof.web;

import java.net.InetAddress;
import java.net.UnknownHostException;
import java.util.HashMap;
import java.util.Map;

/**
 * Places for those who stay, so that neither all together nor one address alone can take more than
 * there is room for. This machine's own addresses have no bound of their own: behind them may be a
 * proxy with everybody.
 */
final class Places {
  private final int most;
  private final int mostOfOne;
  private final Map<String, Integer> taken = new HashMap<>();
  private int all;

  Places(int most, int mostOfOne) {
    this.most = most;
    this.mostOfOne = mostOfOne;
  }

  /** Takes a place; false if there is none for this address. */
  synchronized boolean take(String address) {
    int has = taken.getOrDefault(address, 0);
    if (all >= most || (has >= mostOfOne && !isLoopback(address))) {
      return false;
    }
    taken.put(address, has + 1);
    all++;
    return true;
  }

  /** Gives back one that was taken. */
  synchronized void leave(String address) {
    int left = taken.getOrDefault(address, 0) - 1;
    if (left > 0) {
      taken.put(address, left);
    } else {
      taken.remove(address);
    }
    all--;
  }

  private static boolean isLoopback(String address) {
    try {
      return InetAddress.getByName(address).isLoopbackAddress(); // numeric, so nobody is asked
    } catch (UnknownHostException e) {
      return false;
    }
  }
}
