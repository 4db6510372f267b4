package kitproof.driver.serial;

import com.fazecast.jSerialComm.SerialPort;
import java.util.Arrays;
import java.util.List;

/** The serial ports of this machine. */
public final class SerialPorts {
  private SerialPorts() {}

  /** A line per port: what a bench file calls it, and what the system says it is; sorted. */
  public static List<String> present() {
    return Arrays.stream(SerialPort.getCommPorts())
        .map(port -> port.getSystemPortPath() + "  " + port.getPortDescription())
        .sorted()
        .toList();
  }
}
