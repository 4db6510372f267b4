package kitproof.driver.serial;

import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.time.Duration;
import java.util.Arrays;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;

/**
 * A serial port through jSerialComm.
 *
 * <p>The library tells of a lost device by a negative count when reading and by zero when writing,
 * goes on saying that the port is open, and knows no timeouts finer than 100 ms. Here both are a
 * lost line, and waits shorter than that look every millisecond.
 */
final class SerialPortLine implements Line {
  private static final Duration STEP = Duration.ofMillis(100);
  private static final Duration LOOK = Duration.ofMillis(1);

  private final String name;
  private final SerialPort port;
  private final BenchClock clock;
  private volatile boolean closed;

  private SerialPortLine(String name, SerialPort port, BenchClock clock) {
    this.name = name;
    this.port = port;
    this.clock = clock;
  }

  /** Opens a port by path or name; a symbolic link is followed now. */
  static SerialPortLine open(String name, SerialFormat format, BenchClock clock)
      throws InstrumentException {
    SerialPort port;
    try {
      port = SerialPort.getCommPort(name);
    } catch (SerialPortInvalidPortException e) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE,
          "there is no serial port " + name + " now: is it plugged in?",
          e);
    }
    port.setComPortParameters(
        format.baud(), format.dataBits(), stopBits(format.stopBits()), parity(format.parity()));
    port.setFlowControl(SerialPort.FLOW_CONTROL_DISABLED);
    int step = (int) STEP.toMillis();
    port.setComPortTimeouts(
        SerialPort.TIMEOUT_READ_SEMI_BLOCKING | SerialPort.TIMEOUT_WRITE_BLOCKING, step, step);
    if (!port.openPort()) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE,
          "cannot open serial port "
              + name
              + " (system error "
              + port.getLastErrorCode()
              + "): does another program use it, and may this user open it?");
    }
    return new SerialPortLine(name, port, clock);
  }

  private static int parity(SerialFormat.Parity parity) {
    return switch (parity) {
      case NONE -> SerialPort.NO_PARITY;
      case EVEN -> SerialPort.EVEN_PARITY;
      case ODD -> SerialPort.ODD_PARITY;
    };
  }

  private static int stopBits(int count) {
    return count == 2 ? SerialPort.TWO_STOP_BITS : SerialPort.ONE_STOP_BIT;
  }

  @Override
  public void send(byte[] bytes) throws InstrumentException {
    int sent = 0;
    while (sent < bytes.length) {
      requireOpen();
      int count = port.writeBytes(bytes, bytes.length - sent, sent);
      if (count <= 0) {
        throw lost();
      }
      sent += count;
    }
  }

  @Override
  public byte[] receive(Duration atMost) throws InstrumentException {
    long end = clock.nanos() + atMost.toNanos();
    while (true) {
      requireOpen();
      int there = port.bytesAvailable();
      if (there < 0) {
        throw lost();
      }
      long left = end - clock.nanos();
      if (there > 0 || left >= STEP.toNanos()) {
        byte[] bytes = read(Math.max(1, there));
        if (bytes.length > 0) {
          return bytes;
        }
      } else if (left > 0) {
        look(Math.min(left, LOOK.toNanos()));
      } else {
        return new byte[0];
      }
    }
  }

  /** Reads what is there, or waits one step for the first byte. */
  private byte[] read(int count) throws InstrumentException {
    byte[] bytes = new byte[count];
    int read = port.readBytes(bytes, count);
    if (read < 0) {
      throw lost();
    }
    return Arrays.copyOf(bytes, read);
  }

  private void look(long nanos) throws InstrumentException {
    try {
      clock.sleep(Duration.ofNanos(nanos));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "interrupted while waiting for " + name, e);
    }
  }

  private void requireOpen() throws InstrumentException {
    if (closed) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE, "serial port " + name + " is closed");
    }
  }

  private InstrumentException lost() {
    return new InstrumentException(
        InstrumentException.Kind.UNREACHABLE, "serial port " + name + " is lost or closed");
  }

  @Override
  public void close() {
    if (!closed) {
      closed = true;
      port.closePort();
    }
  }
}
