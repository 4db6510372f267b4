package kitproof.peer;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.RandomAccessFile;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** The peers do what the standards say, spoken to in plain bytes and without any driver. */
@Timeout(60)
class PeersIT {
  @Test
  void aMissingProgramIsNamedWithItsDebianPackage() {
    assertThatThrownBy(() -> Peer.start("some-package", List.of("no-such-program")))
        .hasMessageContaining("no-such-program")
        .hasMessageContaining("apt-get install -y --no-install-recommends some-package");
  }

  @Test
  void theMeterAnswersInTheFormsOfIeee488() throws Exception {
    try (ScpiPeer peer = ScpiPeer.onTcp();
        Socket socket = new Socket("127.0.0.1", peer.port())) {
      peer.value("VOLT:DC", 331.25);
      assertThat(ask(socket, "*IDN?")).isEqualTo("Linnet,Bench meter,0001,1.0");
      assertThat(ask(socket, "conf:volt:dc 1000;:SYSTEM:ERROR?")).isEqualTo("0,\"No error\"");
      assertThat(ask(socket, "READ?")).isEqualTo("+3.31250000E+02");
      peer.value("VOLT:DC", -1300);
      assertThat(ask(socket, "READ?")).isEqualTo("-9.90000000E+37");
      peer.notANumber("VOLT:DC");
      assertThat(ask(socket, "READ?")).isEqualTo("+9.91000000E+37");
      assertThat(ask(socket, "VOLTA:DC?;*OPC?")).isEqualTo("1");
      assertThat(ask(socket, "SYST:ERR?")).isEqualTo("-113,\"Undefined header\"");
      assertThat(ask(socket, "SYST:ERR:NEXT?")).isEqualTo("0,\"No error\"");
    }
  }

  @Test
  void theRelayCardClosesAndOpensChannelLists() throws Exception {
    try (ScpiPeer peer = ScpiPeer.onTcp();
        Socket socket = new Socket("127.0.0.1", peer.port())) {
      assertThat(ask(socket, "ROUT:CLOS (@101,103:104);:ROUT:CLOS? (@101:105)"))
          .isEqualTo("1,0,1,1,0");
      assertThat(peer.channelsClosed()).containsExactly(101, 103, 104);
      assertThat(ask(socket, "ROUTE:OPEN (@103);:ROUTE:OPEN? (@103,104)")).isEqualTo("1,0");
      assertThat(ask(socket, "ROUT:CLOS (@999);:SYST:ERR?"))
          .isEqualTo("-222,\"Data out of range\"");
    }
  }

  @Test
  void theSlaveAnswersTheFrameOfTheModbusSpecification() throws Exception {
    try (PtyPair pair = PtyPair.open();
        ModbusSlave slave = ModbusSlave.on(pair.far());
        RandomAccessFile line = new RandomAccessFile(pair.near(), "rw")) {
      // Write single coil 3, unit 1. The CRC was computed with another program.
      byte[] frame = java.util.HexFormat.of().parseHex("01050003FF007C3A");
      line.write(frame);
      byte[] reply = new byte[frame.length];
      line.readFully(reply);
      assertThat(reply).isEqualTo(frame);
      assertThat(slave.coilsOn()).containsExactly(3);
      slave.put(5, true);
      assertThat(slave.coilsOn()).containsExactly(3, 5);
      slave.put(5, false);
      slave.put(5, false);
      assertThat(slave.history()).containsExactly(Set.of(), Set.of(3), Set.of(3, 5), Set.of(3));
    }
  }

  private static String ask(Socket socket, String message) throws Exception {
    socket.getOutputStream().write((message + "\n").getBytes(StandardCharsets.US_ASCII));
    StringBuilder answer = new StringBuilder();
    for (int c; (c = socket.getInputStream().read()) != '\n'; ) {
      if (c < 0) {
        throw new IllegalStateException("closed after " + answer);
      }
      answer.append((char) c);
    }
    return answer.toString();
  }
}
