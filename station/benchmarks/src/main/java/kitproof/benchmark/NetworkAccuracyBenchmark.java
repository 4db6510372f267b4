package kitproof.benchmark;

import java.util.Arrays;
import java.util.Locale;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Impedance;
import kitproof.signal.NoiseWeighting;
import kitproof.signal.ResponseFigures;
import kitproof.signal.Sweep;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepResponse;
import kitproof.signal.ToneAnalysis;
import kitproof.value.Curve;

/**
 * The worst errors of corner frequencies, damping factors, A- and C-weighting, and of sweeps
 * against stepped tones, on 24-bit captures of networks whose response the bilinear transform
 * gives.
 */
public final class NetworkAccuracyBenchmark {
  private static final double RATE = 96_000;
  private static final double STEP = Math.pow(2, -23);
  private static final Band WIDE = new Band(5, 40_000);

  private NetworkAccuracyBenchmark() {}

  public static void main(String[] arguments) {
    System.out.println("accuracy through known networks, 24 bits at 96 kHz: worst error");
    double[] corners = corners();
    tell("corner frequencies, %", 100 * corners[0], 0.5);
    tell("sweep against stepped tones, dB", corners[1], 0.02);
    for (double factor : new double[] {2, 8, 20}) {
      tell("damping factor " + (int) factor + " from 8 and 6 ohm, %", 100 * damping(factor), 1);
    }
    tell("A-weighting, 10 Hz to 20 kHz, dB", weighting(NoiseWeighting.A), 0.05);
    tell("C-weighting, 10 Hz to 20 kHz, dB", weighting(NoiseWeighting.C), 0.05);
  }

  private static void tell(String what, double error, double goal) {
    System.out.printf(Locale.ROOT, "  %-42s %9.5f   goal %5.2f%n", what, error, goal);
  }

  /** Worst of the corners, and worst of the sweep's response less that of stepped tones. */
  private static double[] corners() {
    double worst = 0;
    double apart = 0;
    for (double[] edges : new double[][] {{17, 23_000}, {12, 33_000}, {40, 12_000}}) {
      Sweep sweep = Sweep.synchronised(10, 45_000, 3, RATE);
      double[] played = Arrays.copyOf(sweep.samples(0.5), sweep.length() + 30_000);
      SweepResponse response = SweepAnalysis.response(sweep, 0.5, through(played, edges));
      Curve curve =
          ResponseFigures.relativeTo(
              response.magnitudeDb(ResponseFigures.logSpaced(10, 45_000, 12)), 1000);
      for (double drop : new double[] {1, 3}) {
        double lower = corner(edges, drop, true);
        double upper = corner(edges, drop, false);
        double low = ResponseFigures.lowerCornerHz(curve, drop, 1000).orElseThrow();
        double high = ResponseFigures.upperCornerHz(curve, drop, 1000).orElseThrow();
        worst = Math.max(worst, Math.max(Math.abs(low / lower - 1), Math.abs(high / upper - 1)));
      }
      double reference = stepped(1000, edges) - response.gainDb(1000);
      for (double hz : new double[] {20, 63, 200, 3150, 10_000, 20_000}) {
        double difference = stepped(hz, edges) - response.gainDb(hz) - reference;
        apart = Math.max(apart, Math.abs(difference));
      }
    }
    return new double[] {worst, apart};
  }

  /** Gain in dB of one settled tone, near the frequency and told at it by the network's slope. */
  private static double stepped(double hz, double[] edges) {
    CoherentTone tone = CoherentTone.near(hz, RATE, (int) RATE);
    int settle = (int) (RATE / 2);
    double[] whole = new double[settle + tone.blockLength()];
    for (int n = 0; n < whole.length; n++) {
      whole[n] = 0.5 * Math.sin(2 * Math.PI * tone.frequencyHz() / RATE * n);
    }
    double[] block = Arrays.copyOfRange(through(whole, edges), settle, whole.length);
    double level =
        ToneAnalysis.coherent(block, RATE, tone.cycles(), new Band(5, 45_000), 2).levelVolts();
    double moved = db(hz, edges) - db(tone.frequencyHz(), edges);
    return 20 * Math.log10(level * Math.sqrt(2) / 0.5) + moved;
  }

  private static double damping(double factor) {
    double resistance = 8 / factor;
    double inductance = 15e-6;
    Sweep sweep = Sweep.synchronised(20, 20_000, 2, RATE);
    SweepResponse first = loaded(sweep, resistance, inductance, 8);
    SweepResponse second = loaded(sweep, resistance, inductance, 6);
    double[] hz = ResponseFigures.logSpaced(20, 20_000, 12);
    Curve factors = Impedance.ofSource(hz, first::at, 8, second::at, 6).dampingFactor(8);
    double worst = 0;
    for (int i = 0; i < hz.length; i++) {
      double reactance = inductance * 2 * RATE * Math.tan(Math.PI * hz[i] / RATE);
      double expected = 8 / Math.hypot(resistance, reactance);
      worst = Math.max(worst, Math.abs(factors.y(i) / expected - 1));
    }
    return worst;
  }

  /** An e.m.f. behind R and L into a load, by the bilinear transform; 10 V are full scale. */
  private static SweepResponse loaded(
      Sweep sweep, double resistance, double inductance, double load) {
    double[] volts = Arrays.copyOf(sweep.samples(4), sweep.length() + 9600);
    double a = 2 * RATE * inductance;
    double total = resistance + load;
    double current = 0;
    double before = 0;
    for (int n = 0; n < volts.length; n++) {
      current = (volts[n] + before + (a - total) * current) / (a + total);
      before = volts[n];
      volts[n] = quantised(current * load / 10) * 10;
    }
    return SweepAnalysis.response(sweep, 4, volts);
  }

  /** Sines through the weighting, against the formula of IEC 61672-1 (from memory). */
  private static double weighting(NoiseWeighting weighting) {
    double worst = 0;
    for (double hz : ResponseFigures.logSpaced(10, 20_000, 3)) {
      double[] sine = new double[(int) RATE];
      for (int n = 0; n < sine.length; n++) {
        sine[n] = Math.sin(2 * Math.PI * hz / RATE * n + 0.3);
      }
      double level = 20 * Math.log10(weighting.rms(sine, RATE, WIDE) * Math.sqrt(2));
      worst = Math.max(worst, Math.abs(level - curveDb(weighting, hz) + curveDb(weighting, 1000)));
    }
    return worst;
  }

  private static double curveDb(NoiseWeighting weighting, double hz) {
    double f = hz * hz;
    double low = 20.598997 * 20.598997;
    double high = 12194.217 * 12194.217;
    double c = high * f / ((f + low) * (f + high));
    double middle = f / Math.sqrt((f + 107.65265 * 107.65265) * (f + 737.86223 * 737.86223));
    return 20 * Math.log10(weighting == NoiseWeighting.C ? c : c * middle);
  }

  private static double[] through(double[] x, double[] edges) {
    double[] high = lowPass(x, edges[0]);
    for (int n = 0; n < x.length; n++) {
      high[n] = x[n] - high[n];
    }
    double[] y = lowPass(high, edges[1]);
    for (int n = 0; n < y.length; n++) {
      y[n] = quantised(y[n]);
    }
    return y;
  }

  private static double quantised(double value) {
    return Math.rint(value / STEP) * STEP;
  }

  private static double[] lowPass(double[] x, double hz) {
    double k = Math.tan(Math.PI * hz / RATE);
    double[] y = new double[x.length];
    double before = 0;
    for (int n = 0; n < x.length; n++) {
      y[n] = (k * (x[n] + before) + (1 - k) * (n > 0 ? y[n - 1] : 0)) / (1 + k);
      before = x[n];
    }
    return y;
  }

  private static double db(double hz, double[] edges) {
    double w = Math.tan(Math.PI * hz / RATE);
    double up = Math.tan(Math.PI * edges[0] / RATE) / w;
    double down = w / Math.tan(Math.PI * edges[1] / RATE);
    return -10 * Math.log10((1 + up * up) * (1 + down * down));
  }

  private static double corner(double[] edges, double drop, boolean lower) {
    double wanted = db(1000, edges) - drop;
    double below = lower ? 1 : 1000;
    double above = lower ? 1000 : 47_000;
    for (int i = 0; i < 100; i++) {
      double middle = Math.sqrt(below * above);
      if (db(middle, edges) < wanted == lower) {
        below = middle;
      } else {
        above = middle;
      }
    }
    return below;
  }
}
