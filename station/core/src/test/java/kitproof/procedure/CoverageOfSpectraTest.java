package kitproof.procedure;

import static kitproof.procedure.DrawnBench.FLAT;
import static kitproof.procedure.DrawnBench.GAIN;
import static kitproof.procedure.DrawnBench.LOAD;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.signal.Levels;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import org.junit.jupiter.api.Test;

/** Spectra, their lines, and what lies between. See {@link DrawnBench}. */
class CoverageOfSpectraTest {
  private static final double HARMONIC = 2e-3;

  @Test
  void linesOfASpectrumHoldTheirTruth() throws Exception {
    Random random = new Random(21);
    DrawnBench.Tally tone = new DrawnBench.Tally("spectrum, the tone");
    DrawnBench.Tally second = new DrawnBench.Tally("harmonic spectrum, the second");
    DrawnBench.Tally wave = new DrawnBench.Tally("waveform");
    for (int d = 0; d < 30; d++) {
      FormulaBench bench = DrawnBench.of("20 mV", "1.2 V", FLAT + LOAD + DrawnBench.CLEAN);
      DrawnBench.Errors errors = DrawnBench.Errors.draw(random, 5e-3).worseInput(4);
      double load = 8 * (1 + 0.01 * random.nextGaussian());
      double peak = Math.sqrt(2 * load);
      bench.left =
          errors.around(FormulaBench.curve(x -> GAIN * x + HARMONIC * GAIN * x * GAIN * x));
      var unused = bench.measure("spectrum", "{power: 1 W, listen: 200 ms}");
      Measurement lines = DrawnBench.named(bench, "spectrum");
      tone.add(lines, DrawnBench.index(lines, 1000), Levels.db(peak / Math.sqrt(2)));
      Measurement relative = DrawnBench.named(bench, "harmonic spectrum");
      second.add(relative, DrawnBench.index(relative, 2000), Levels.db(HARMONIC * peak / 2));
      Measurement shape = DrawnBench.named(bench, "waveform");
      Curve curve = FormulaBench.curve(shape.figure());
      for (int i = 4; i < 48; i += 11) {
        double turn = 2 * Math.PI * 1000 * curve.x(i);
        double sine = peak * Math.sin(turn);
        wave.add(shape, i, sine + HARMONIC * sine * sine);
      }
    }
    tone.isAsStated();
    second.isAtLeastAsStated();
    wave.isAtLeastAsStated();
  }

  /** Of noise the level in a line's bandwidth is the truth, whatever one line happens to be. */
  @Test
  void noiseBetweenTheLinesHoldsItsTruth() throws Exception {
    Random random = new Random(22);
    DrawnBench.Tally held = new DrawnBench.Tally("hum spectrum, noise");
    double noise = 1e-3;
    for (int d = 0; d < 20; d++) {
      FormulaBench bench = DrawnBench.of(FLAT + LOAD + DrawnBench.CLEAN);
      bench.left = DrawnBench.Errors.draw(random, noise).around(FormulaBench.curve(x -> 0));
      bench.all("hum", "listen: 1 s").stream()
          .filter(m -> m.name().equals("hum spectrum"))
          .forEach(
              found -> {
                for (double hertz : new double[] {12, 17, 23, 33}) {
                  int i = DrawnBench.index(found, hertz);
                  held.add(found, i, Levels.db(noise * Math.sqrt(3.77 / 24_000)));
                }
              });
    }
    held.isAtLeastAsStated();
  }

  @Test
  void aLineOfHumHoldsItsTruth() throws Exception {
    Random random = new Random(23);
    DrawnBench.Tally held = new DrawnBench.Tally("hum 100 Hz");
    for (int d = 0; d < 40; d++) {
      FormulaBench bench = DrawnBench.of(FLAT + LOAD + DrawnBench.CLEAN);
      double turn = 2 * Math.PI * random.nextDouble();
      double hertz = 100 * (1 + 1e-3 * random.nextGaussian());
      UnaryOperator<double[]> hum =
          played -> {
            double[] out = new double[played.length];
            Arrays.setAll(out, i -> 3e-4 * Math.sin(2 * Math.PI * hertz * i / 48_000 + turn));
            return out;
          };
      bench.left = DrawnBench.Errors.draw(random, 2e-3).around(hum);
      Measurement found =
          bench.all("hum", "listen: 1 s").stream()
              .filter(m -> m.name().equals("hum 100 Hz"))
              .findFirst()
              .orElseThrow();
      held.add(found, Levels.db(3e-4 / Math.sqrt(2)));
    }
    held.isAsStated();
  }

  @Test
  void aStrayLineHoldsItsTruth() throws Exception {
    Random random = new Random(24);
    DrawnBench.Tally level = new DrawnBench.Tally("stray line");
    DrawnBench.Tally place = new DrawnBench.Tally("stray line frequency");
    for (int d = 0; d < 40; d++) {
      FormulaBench bench = DrawnBench.of(FLAT + LOAD + DrawnBench.CLEAN);
      double hertz = 15_300 + 100 * random.nextDouble();
      bench.left =
          DrawnBench.Errors.draw(random, 2e-3)
              .around(
                  played -> {
                    double[] out = new double[played.length];
                    Arrays.setAll(
                        out,
                        i -> GAIN * played[i] + 1e-3 * Math.sin(2 * Math.PI * hertz * i / 48_000));
                    return out;
                  });
      var unused = bench.measure("stability", "{power: 1 W}");
      level.add(bench.measured.get(0), Levels.db(1e-3 / Math.sqrt(2)));
      place.add(bench.measured.get(1), hertz);
    }
    level.isAsStated();
    place.isAtLeastAsStated();
  }

  /** A unit without any line: what is told is a bound, and nothing at all lies in its interval. */
  @Test
  void ofALineThatIsNoneOnlyABoundIsKnown() throws Exception {
    FormulaBench bench = DrawnBench.of(FLAT + LOAD + DrawnBench.CLEAN);
    bench.left =
        DrawnBench.Errors.draw(new Random(25), 5e-3).around(FormulaBench.curve(x -> GAIN * x));
    var unused = bench.measure("stability", "{power: 1 W}");
    Measurement line = bench.measured.get(0);
    assertThat(line.uncertainty().below(0)).isGreaterThan(3 * line.uncertainty().above(0));
    assertThat(line.uncertainty().budget())
        .extracting(Contribution::name)
        .contains("a bound that noise sets");
  }

  /** The mean of many floors, as powers, is the truth. */
  @Test
  void theFloorOfCrosstalkHoldsItsTruth() throws Exception {
    Random random = new Random(26);
    DrawnBench.Tally held = new DrawnBench.Tally("crosstalk floor");
    List<Measurement> all = new ArrayList<>();
    for (int d = 0; d < 8; d++) {
      FormulaBench bench = DrawnBench.of(both());
      bench.left = FormulaBench.curve(x -> GAIN * x + 2e-3 * random.nextGaussian());
      bench.right = FormulaBench.curve(x -> GAIN * x + 2e-3 * random.nextGaussian());
      bench.conditions = Conditions.of("channel", "both");
      bench.all("crosstalk", "{power: 1 W, sweep: 500 ms}").stream()
          .filter(m -> m.name().equals("crosstalk floor"))
          .forEach(all::add);
    }
    for (double hertz : new double[] {100, 1000, 8000}) {
      int at = DrawnBench.index(all.get(0), hertz);
      double squares = 0;
      for (Measurement each : all) {
        squares += Math.pow(10, FormulaBench.curve(each.figure()).y(at) / 10) / all.size();
      }
      for (Measurement each : all) {
        held.add(each, at, 10 * Math.log10(squares));
      }
    }
    held.isAtLeastAsStated();
  }

  private static String both() {
    String points =
        "points: [{at: 1 Hz, level: 0 dB, u: 0 dB, phase: 0 deg},"
            + " {at: 24 kHz, level: 0 dB, u: 0 dB, phase: 0 deg}]";
    return "paths: [{channel: left, %s}, {channel: right, %s}]\n".formatted(points, points)
        + "leakages: [{from: left, to: right, at: 1 kHz, level: -120 dB},"
        + " {from: right, to: left, at: 1 kHz, level: -120 dB}]\n";
  }
}
