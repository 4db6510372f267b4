package kitproof.peer;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * The instrument's side of SCPI at the far end of a serial line or a TCP connection: a multimeter
 * with a relay card, channels 101 to 116.
 *
 * <p>Ours, but a program of its own in another language, written from IEEE 488.2 and SCPI-1999; it
 * shares nothing with the drivers. Functions are named VOLT:DC, VOLT:AC, CURR:DC, CURR:AC, RES and
 * FREQ.
 */
public final class ScpiPeer implements AutoCloseable {
  /** What may befall a reply. */
  public enum Fault {
    SILENT,
    HALF,
    GARBLED,
    LATE,
    SLOW,
    NONE
  }

  private final Peer peer;

  private ScpiPeer(Peer peer) {
    this.peer = peer;
  }

  /** At the far end of a serial line; replies end with NL. */
  public static ScpiPeer onPty(String port) {
    return new ScpiPeer(Peer.python("python3", "scpi_peer.py", "--pty", port));
  }

  /** The same with replies that end with CR NL. */
  public static ScpiPeer onPtyWithCrLf(String port) {
    return new ScpiPeer(
        Peer.python("python3", "scpi_peer.py", "--pty", port, "--terminator", "crlf"));
  }

  /** Listening on the loopback interface, on a free {@link #port()}. */
  public static ScpiPeer onTcp() {
    return new ScpiPeer(Peer.python("python3", "scpi_peer.py", "--tcp"));
  }

  /** The TCP port it listens on. */
  public int port() {
    return Integer.parseInt(peer.order("{\"port\": true}"));
  }

  /** Cuts the TCP connection of the moment. */
  public void drop() {
    peer.order("{\"drop\": true}");
  }

  /** What a function reads from now on, in its unit; beyond 1.2 times its range is an overload. */
  public void value(String function, double value) {
    peer.order("{\"values\": {\"" + function + "\": " + value + "}}");
  }

  /** The function reads as not a number from now on. */
  public void notANumber(String function) {
    peer.order("{\"values\": {\"" + function + "\": null}}");
  }

  /** Another instrument stands there: four fields with commas. */
  public void identity(String fields) {
    peer.order("{\"identity\": \"" + fields + "\"}");
  }

  /** Puts an error at the end of the error queue. */
  public void error(int code, String text) {
    peer.order("{\"error\": [" + code + ", \"" + text + "\"]}");
  }

  /** The channels that are closed. */
  public Set<Integer> channelsClosed() {
    String list = peer.order("{\"channels\": true}").replaceAll("[\\[\\] ]", "");
    return list.isEmpty()
        ? Set.of()
        : Arrays.stream(list.split(",", -1))
            .map(Integer::valueOf)
            .collect(Collectors.toCollection(TreeSet::new));
  }

  /** From now on this channel stays so, whatever it is told. */
  public void stick(int channel, boolean closed) {
    peer.order("{\"stuck\": {\"" + channel + "\": " + closed + "}}");
  }

  /** The messages it received since the last call, as a JSON list of texts. */
  public String received() {
    return peer.order("{\"log\": true}");
  }

  /** The reply after {@code skip} good ones suffers this fault, a late or slow one by a time. */
  public void failOnce(Fault fault, int skip, double seconds) {
    fail(fault, skip, 1, seconds);
  }

  /** Every reply suffers this fault until {@link Fault#NONE}. */
  public void failAlways(Fault fault) {
    fail(fault, 0, Integer.MAX_VALUE, 0);
  }

  private void fail(Fault fault, int skip, int count, double seconds) {
    peer.order(
        "{"
            + String.join(
                ", ",
                List.of(
                    "\"fault\": \"" + fault.name().toLowerCase(Locale.ROOT) + "\"",
                    "\"skip\": " + skip,
                    "\"count\": " + count,
                    "\"seconds\": " + seconds))
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
