package kitproof.peers;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;

/**
 * A small amplifier of our own making in ngspice: a grid with its leak and stray capacitance, a
 * stage that bends like a triode (a power series about its working point), a coupling capacitor,
 * and an output like a transformer's, resistance and leakage inductance before the load.
 *
 * <p>Node src is the generator, b the input, out the output.
 */
final class Circuit {
  private static final String NETLIST =
      """
      * a stage like a triode's and an output like a transformer's
      %s
      Rg src a 100
      Rs a b %s
      Cc b g 0.1u
      Rgl g 0 100k
      Cs g 0 100p
      Ra p 0 22k
      Rp p 0 7.7k
      B1 p 0 I = 2.6e-3*v(g) + 0.3e-3*v(g)*v(g) + 0.02e-3*v(g)*v(g)*v(g)
      Cp p q 10u
      Rq q 0 100k
      E1 e 0 q 0 -0.5
      Ro e f 0.5
      Lo f out 30u
      %s
      .options reltol=1e-5 abstol=1e-11 vntol=1e-8
      .control
      set filetype=binary
      %s
      quit 0
      .endc
      .end
      """;

  /** Of many a mistake it tells in words only, and ends as if all were well. */
  private static final Pattern WRONG =
      Pattern.compile("(?im)^.*\\b(error|fatal|aborted|unknown)\\b.*$");

  private final Path folder;

  Circuit(Path folder) {
    this.folder = folder;
  }

  /**
   * Plays samples and returns output and generator at the times of the samples; between them the
   * generator follows straight lines, and the solver takes two steps at least.
   */
  SpiceData play(double rate, double[] volts, String series, String load) throws Exception {
    StringBuilder file = new StringBuilder(volts.length * 30);
    for (int n = 0; n < volts.length; n++) {
      file.append(n / rate).append(' ').append(volts[n]).append('\n');
    }
    Files.writeString(folder.resolve("stimulus.txt"), file);
    String commands =
        "tran "
            + 1 / rate
            + " "
            + (volts.length - 1) / rate
            + " 0 "
            + 0.5 / rate
            + "\nlinearize v(out) v(src)\nwrite played.raw v(out) v(src)";
    run(
        "a1 %v([src]) stimulus\n"
            + ".model stimulus filesource (file=\"stimulus.txt\" amploffset=[0] amplscale=[1]"
            + " timeoffset=0 timescale=1 timerelative=false amplstep=false)",
        series, "Rl out 0 " + load, commands);
    return SpiceData.read(folder.resolve("played.raw"));
  }

  /** The small-signal analysis, ten points a decade from 20 Hz to 10 kHz; output and input. */
  SpiceData smallSignal(String series, String load) throws Exception {
    run(
        "V1 src 0 DC 0 AC 1",
        series,
        "Rl out 0 " + load,
        "ac dec 10 20 10k\nwrite ac.raw v(out) v(src) v(a) v(b)");
    return SpiceData.read(folder.resolve("ac.raw"));
  }

  /** The output's impedance, ohms, as the voltage of one ampere into it, the generator silent. */
  SpiceData outputImpedance() throws Exception {
    run(
        "V1 src 0 DC 0",
        "1m",
        "Rl out 0 1e12\nI1 0 out DC 0 AC 1",
        "ac dec 10 20 10k\nwrite z.raw v(out)");
    return SpiceData.read(folder.resolve("z.raw"));
  }

  /** What ngspice's Fourier analysis prints of the output of a 1 kHz sine. */
  String fourier(double peakVolts, String load) throws Exception {
    return run(
        "V1 src 0 SIN(0 " + peakVolts + " 1k)",
        "1m",
        "Rl out 0 " + load,
        "set fourgridsize=4000\ntran 0.5u 60m 0 0.5u\nfourier 1k v(out)");
  }

  /** What ngspice says to these commands on the circuit. */
  String answer(String commands) throws Exception {
    return run("V1 src 0 DC 0 AC 1", "1m", "Rl out 0 8", commands);
  }

  private String run(String source, String series, String load, String commands)
      throws IOException, InterruptedException {
    Path netlist = folder.resolve("circuit.cir");
    Files.writeString(netlist, NETLIST.formatted(source, series, load, commands));
    Path told = folder.resolve("told.txt");
    for (String before : List.of("played.raw", "ac.raw", "z.raw")) {
      Files.deleteIfExists(folder.resolve(before)); // so that nothing old is taken for an answer
    }
    Process process =
        new ProcessBuilder("ngspice", "-b", netlist.getFileName().toString())
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(told.toFile())
            .start();
    if (!process.waitFor(120, TimeUnit.SECONDS)) {
      process.destroyForcibly();
      throw new IOException("ngspice does not end");
    }
    String said = Files.readString(told, StandardCharsets.ISO_8859_1);
    if (process.exitValue() != 0 || WRONG.matcher(said).find()) {
      throw new IOException("ngspice ended with " + process.exitValue() + ":\n" + said);
    }
    return said;
  }
}
