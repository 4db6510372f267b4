package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Impedance;
import kitproof.signal.Sweep;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepResponse;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A circuit that another program solves, driven with the station's stimuli: what the station's
 * analysis finds in the output is held against that program's own small-signal and Fourier answers.
 */
class IndependentCircuitIT {
  private static final double RATE = 192_000;
  private static final Sweep SWEEP = Sweep.synchronised(10, 10_000, 1.5, RATE);

  /** So little that the stage's bend moves the fundamental by less than a thousandth of a dB. */
  private static final double SWEEP_PEAK = 0.05;

  private static final String LOAD = "8.02";
  private static final String SECOND_LOAD = "5.724";

  /**
   * An octave into the sweep: so short a one is not true to 0.02 dB at the very edge of its band.
   */
  private static final Band COMPARED = new Band(20, 10_000);

  @TempDir private static Path folder;
  private static Swept first;

  @BeforeAll
  static void sweepIntoTheFirstLoad() throws Exception {
    first = sweep("1m", LOAD);
  }

  /**
   * Output over generator, whose samples are joined by straight lines: a convolution with a
   * triangle of two samples, the square of a sinc.
   */
  private record Swept(SweepResponse output, SweepResponse generator) {
    Complex at(double hz) {
      double half = Math.PI * hz / RATE;
      double joined = Math.pow(Math.sin(half) / half, 2);
      return output.at(hz).divide(generator.at(hz)).divide(joined);
    }
  }

  private static Swept sweep(String series, String load) throws Exception {
    double[] stimulus =
        Arrays.copyOf(SWEEP.samples(SWEEP_PEAK), SWEEP.length() + (int) (0.1 * RATE));
    SpiceData played = new Circuit(folder).play(RATE, stimulus, series, load);
    return new Swept(response(played.real("v(out)")), response(played.real("v(src)")));
  }

  private static SweepResponse response(double[] volts) {
    // The solver's last point may be missing.
    return SweepAnalysis.response(SWEEP, SWEEP_PEAK, Arrays.copyOf(volts, volts.length + 1));
  }

  @Test
  @DisplayName("What ngspice cannot do is no answer, also where it ends as if all were well")
  void refused() {
    for (String wrong : List.of("8\nBx out 0 V=nonsense(", "8\nXx out 0 nosuchcircuit")) {
      assertThatThrownBy(() -> new Circuit(folder).smallSignal("1m", wrong))
          .isInstanceOf(IOException.class)
          .hasMessageContaining("ngspice ended with");
    }
    assertThatThrownBy(() -> new Circuit(folder).answer("ac dec 10 -20 10k"))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("ngspice ended with 0");
  }

  @Test
  @DisplayName("Gain, response and phase of a sweep are those of ngspice's small-signal analysis")
  void response() throws Exception {
    SpiceData expected = new Circuit(folder).smallSignal("1m", LOAD);
    double[] hz = expected.real("frequency");
    Complex[] out = expected.complex("v(out)");
    assertThat(hz.length).isGreaterThan(25);
    for (int i = 0; i < hz.length; i++) {
      if (!COMPARED.contains(hz[i])) {
        continue;
      }
      Complex ratio = first.at(hz[i]).divide(out[i]);
      assertThat(20 * Math.log10(ratio.abs())).as("dB at %s Hz", hz[i]).isCloseTo(0, within(0.02));
      assertThat(Math.toDegrees(ratio.getArgument()))
          .as("degrees at %s Hz", hz[i])
          .isCloseTo(0, within(0.5));
    }
  }

  @Test
  @DisplayName(
      "Two loads give the output impedance that ngspice finds by a current into the output")
  void outputImpedance() throws Exception {
    Swept second = sweep("1m", SECOND_LOAD);
    SpiceData expected = new Circuit(folder).outputImpedance();
    Complex[] ohms = expected.complex("v(out)");
    double[] hz = expected.real("frequency");
    for (int i = 0; i < hz.length; i++) {
      if (!COMPARED.contains(hz[i])) {
        continue;
      }
      Impedance found =
          Impedance.ofSource(new double[] {hz[i]}, first::at, 8.02, second::at, 5.724);
      Complex difference = found.ohms(0).subtract(ohms[i]);
      // One percent, which is the station's promise for damping factors up to 20: here it is 16.
      assertThat(difference.abs() / ohms[i].abs()).as("%s Hz", hz[i]).isLessThan(0.01);
    }
  }

  @Test
  @DisplayName("A series resistor gives the input impedance that ngspice finds from the current")
  void inputImpedance() throws Exception {
    Swept with = sweep("47k", LOAD);
    SpiceData expected = new Circuit(folder).smallSignal("1m", LOAD);
    double[] hz = expected.real("frequency");
    for (int i = 0; i < hz.length; i++) {
      if (!COMPARED.contains(hz[i])) {
        continue;
      }
      Complex current =
          expected.complex("v(src)")[i].subtract(expected.complex("v(a)")[i]).divide(100);
      Complex ohms = expected.complex("v(b)")[i].divide(current);
      Impedance found = Impedance.ofInput(new double[] {hz[i]}, first::at, with::at, 47e3, 100);
      Complex difference = found.ohms(0).subtract(ohms);
      assertThat(difference.abs() / ohms.abs()).as("%s Hz", hz[i]).isLessThan(0.01);
    }
  }

  @Test
  @DisplayName("The harmonics of a tone are those of ngspice's Fourier analysis")
  void harmonics() throws Exception {
    double peak = 0.5;
    CoherentTone tone = CoherentTone.of(1000, RATE, (int) (0.1 * RATE));
    int lead = (int) (0.05 * RATE);
    double[] stimulus = tone.samples(peak, lead + tone.blockLength() + 10);
    double[] out = new Circuit(folder).play(RATE, stimulus, "1m", LOAD).real("v(out)");
    ToneFigures found =
        ToneAnalysis.coherent(
            Arrays.copyOfRange(out, lead, lead + tone.blockLength()),
            RATE,
            tone.cycles(),
            new Band(20, 20_000),
            5);
    String told = new Circuit(folder).fourier(peak, LOAD);
    double fundamental = magnitude(told, 1);
    assertThat(20 * Math.log10(found.levelVolts() * Math.sqrt(2) / fundamental))
        .as(told)
        .isCloseTo(0, within(0.01));
    for (int order = 2; order <= 3; order++) {
      double expected = 20 * Math.log10(magnitude(told, order) / fundamental);
      assertThat(20 * Math.log10(found.harmonic(order).orElseThrow().ratio()))
          .as("harmonic %s of %s", order, told)
          .isCloseTo(expected, within(0.1));
    }
  }

  /** The second number after the order: " 2 2000 0.0123 …". */
  private static double magnitude(String told, int order) {
    Matcher line =
        Pattern.compile("(?m)^\\s*" + order + "\\s+([-+.\\deE]+)\\s+([-+.\\deE]+)\\s")
            .matcher(told);
    assertThat(line.find()).as(told).isTrue();
    return Double.parseDouble(line.group(2));
  }
}
