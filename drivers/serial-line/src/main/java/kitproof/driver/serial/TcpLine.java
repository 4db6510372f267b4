package kitproof.driver.serial;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.time.Duration;
import java.util.Arrays;
import kitproof.driver.InstrumentException;

/** A TCP connection, as instruments and serial servers offer it: bytes as they are. */
final class TcpLine implements Line {
  private final String name;
  private final Socket socket;
  private final byte[] buffer = new byte[4_096];

  private TcpLine(String name, Socket socket) {
    this.name = name;
    this.socket = socket;
  }

  static TcpLine open(String host, int port, Duration atMost) throws InstrumentException {
    String name = host + ":" + port;
    Socket socket = new Socket();
    try {
      socket.setTcpNoDelay(true);
      socket.connect(new InetSocketAddress(host, port), millis(atMost));
      return new TcpLine(name, socket);
    } catch (IOException e) {
      TcpLine half = new TcpLine(name, socket);
      half.close();
      throw half.lost("cannot connect to ", e);
    }
  }

  @Override
  public void send(byte[] bytes) throws InstrumentException {
    try {
      socket.getOutputStream().write(bytes);
    } catch (IOException e) {
      throw lost("cannot send to ", e);
    }
  }

  @Override
  public byte[] receive(Duration atMost) throws InstrumentException {
    try {
      if (atMost.isZero() && socket.getInputStream().available() == 0) {
        return new byte[0];
      }
      socket.setSoTimeout(millis(atMost));
      int count = socket.getInputStream().read(buffer);
      if (count < 0) {
        throw new InstrumentException(
            InstrumentException.Kind.UNREACHABLE, name + " has closed the connection");
      }
      return Arrays.copyOf(buffer, count);
    } catch (SocketTimeoutException e) {
      return new byte[0];
    } catch (IOException e) {
      throw lost("cannot receive from ", e);
    }
  }

  /** At least 1: zero would mean for ever. */
  private static int millis(Duration duration) {
    return (int) Math.max(1, Math.min(Integer.MAX_VALUE, duration.toMillis()));
  }

  private InstrumentException lost(String what, IOException cause) {
    return new InstrumentException(
        InstrumentException.Kind.UNREACHABLE, what + name + ": " + cause.getMessage(), cause);
  }

  @Override
  public void close() {
    try {
      socket.close();
    } catch (IOException e) {
      // It is gone either way, and nobody could do anything about it.
    }
  }
}
