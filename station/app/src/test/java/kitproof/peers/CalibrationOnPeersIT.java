package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import kitproof.calibration.Calibration;
import kitproof.calibration.Known;
import kitproof.peer.Alone;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;
import kitproof.peer.SoundServer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Full scales and a resistor calibrated through the real drivers, multimeters on serial lines and a
 * sound device looped back; then the morning check of the same bench.
 */
@Alone
class CalibrationOnPeersIT {
  /** The interface's outputs give a hundredth more than its bench file says. */
  private static final double OUTPUT = 1.01;

  /** What the loop leaves of what is played: an input that takes twice as much as its file says. */
  private static final double LOOP = 0.5;

  /** Of 2 V peak, rms. */
  private static final double NOMINAL = 2 / Math.sqrt(2);

  /** A tone 3 dB below full scale, as the meter has it. */
  private static final double METER = OUTPUT * NOMINAL * Math.pow(10, -3 / 20.0);

  private static final String LIMITS =
      "limits: l\nproduct: %s\nrevision: A\nrule: simple acceptance\njudge:\n";

  @TempDir private Path folder;

  private void write(String name, String text) throws IOException {
    Files.writeString(folder.resolve(name), text);
  }

  private void prepare(String voltmeter, String ohmmeter) throws IOException {
    write(
        "bench.yaml",
        """
        bench: peers
        shop: attic
        station: bench-7
        selfcheck: {check-standard: CS-01, hours: 24}
        roles:
          relays: {driver: simulated-bench, kind: switcher, settings: {bench: b, relays: {K1: drive-left}},
            routes: {drive muted: {group: drive, purpose: mute},
                     drive left: {group: drive, purpose: drive, relays: [K1], when: {channel: left}},
                     check resistor: {group: leads}}}
          line-meter: {driver: serial-meter, kind: meter,
            settings: {line: %s, functions: {volts: {configure: "CONF:VOLT:AC 10", unit: V}}}}
          ohmmeter: {driver: serial-meter, kind: meter,
            settings: {line: %s, functions: {ohms: {configure: "CONF:RES 100", unit: ohm}}}}
          audio:
            driver: audio-interface
            kind: audio-interface
            settings:
              bits: 32
              timeout: 20 s
              buffer: 300 ms # others compute on the same processors
              outputs: {left: {channel: 1, full-scale: 2 V peak}}
              inputs: {left: {channel: 1, full-scale: 2 V peak}}
        """
            .formatted(voltmeter, ohmmeter));
    String meter =
        "meter: line-meter, function: volts, limits: \"±(0.05 % + 3 digits)\", resolution: 0.1 mV";
    String ohms =
        "meter: ohmmeter, function: ohms, limits: \"±(0.05 % + 3 digits)\", resolution: 1 mohm";
    write(
        "calibration.yaml",
        "plan: c\nproduct: bench\nrevision: A\nlimits: calibration-limits.yaml\nholds-days: 30\n"
            + "steps:\n"
            + "  - {step: levels, procedure: calibrate-levels, conditions: {channel: left}, repeats: 3, "
            + meter
            + "}\n  - {step: standard, procedure: calibrate-resistance, routes: [check resistor], "
            + ohms
            + "}\n");
    write(
        "calibration-limits.yaml",
        LIMITS.formatted("bench") + "  - {result: output full scale, low: 1 V, high: 2 V}\n");
    write(
        "selfcheck.yaml",
        "plan: s\nproduct: standard\nrevision: A\nlimits: selfcheck-limits.yaml\nsteps:\n"
            + "  - {step: loop, procedure: check-loop, conditions: {channel: left}, frequencies:"
            + " [997 Hz], "
            + meter
            + "}\n  - {step: standard, procedure: check-resistance, route: check resistor, "
            + ohms
            + "}\n");
    write(
        "selfcheck-limits.yaml",
        LIMITS.formatted("standard")
            + "  - {result: loop level normalised error, low: -1, high: 1}\n"
            + "  - {result: line level normalised error, low: -1, high: 1}\n"
            + "  - {result: check resistance normalised error, low: -1, high: 1}\n");
  }

  private String call(int code, String command, SoundServer sound) throws Exception {
    try (Program program =
        Program.start(
            folder,
            List.of(
                command,
                folder
                    .resolve(command.equals("calibrate") ? "calibration.yaml" : "selfcheck.yaml")
                    .toString(),
                "--bench",
                folder.resolve("bench.yaml").toString(),
                "--records",
                folder.resolve("records").toString()),
            Map.of("ALSA_CONFIG_PATH", sound.alsaConfiguration().toString()))) {
      int ended = program.exitCode();
      assertThat(ended).as(program.printed()).isEqualTo(code);
      return program.printed();
    }
  }

  private static void assertKnown(Known known, double truth) {
    assertThat(known.value().value())
        .as("u %s", known.standard())
        .isCloseTo(truth, within(2e-4 * truth));
    assertThat(known.standard()).isPositive().isLessThan(1e-3 * truth);
  }

  @Test
  void fullScalesAreFoundAgainstTheMeterAndHeldAgainstItTheNextMorning() throws Exception {
    try (PtyPair volts = PtyPair.open();
        PtyPair ohms = PtyPair.open();
        ScpiPeer voltmeter = ScpiPeer.onPty(volts.far());
        ScpiPeer ohmmeter = ScpiPeer.onPty(ohms.far());
        SoundServer sound = SoundServer.start(Files.createDirectories(folder.resolve("sound")))) {
      sound.insert("amp", "amp_mono", LOOP);
      voltmeter.value("VOLT:AC", METER);
      ohmmeter.value("RES", 10.034);
      prepare(volts.near(), ohms.near());

      call(0, "calibrate", sound);
      Calibration found = Calibration.read(folder.resolve("bench.calibration.yaml")).value();
      assertKnown(found.output("audio", "left").orElseThrow(), OUTPUT * NOMINAL);
      assertKnown(found.input("audio", "left", null).orElseThrow(), OUTPUT * NOMINAL / LOOP);
      assertKnown(found.resistance("check resistor").orElseThrow(), 10.034);
      assertThat(found.due()).isPresent();

      assertThat(call(0, "selfcheck", sound))
          .contains("loop level", "line level", "check resistance", "station unlocked");

      voltmeter.value("VOLT:AC", 1.02 * METER);
      assertThat(call(1, "selfcheck", sound)).contains("LOCKED: ", "line level");
    }
  }
}
