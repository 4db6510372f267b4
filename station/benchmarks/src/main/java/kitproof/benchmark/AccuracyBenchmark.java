package kitproof.benchmark;

import java.util.Locale;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;

/**
 * The worst errors of level, harmonics, THD and frequency over a grid of tone, level, distortion
 * and noise, on captures of 24 bits whose truth is known by construction: with triangular dither
 * and noise, and plainly rounded without either.
 */
public final class AccuracyBenchmark {
  private static final double RATE = 96_000;
  private static final int LENGTH = 1 << 17;
  private static final double STEP = Math.pow(2, -23);
  private static final int HARMONICS = 5;
  private static final Band BAND = new Band(20, 40_000);

  private long state = 1;
  private double worstLevel;
  private double worstHarmonic;
  private double worstThd;
  private double worstFrequency;

  private final boolean dither;

  private AccuracyBenchmark(boolean dither) {
    this.dither = dither;
  }

  public static void main(String[] arguments) {
    System.out.println("accuracy, 24 bits, 1.4 s at 96 kHz: worst error of all tones and levels");
    System.out.println(
        "  harmonics  noise       level dB   harmonic dB      THD dB   frequency ppm");
    for (double harmonicDb : new double[] {-40, -60, -80, -100, -110}) {
      for (double noiseDb : new double[] {Double.NEGATIVE_INFINITY, -140, -120, -110}) {
        AccuracyBenchmark cell = new AccuracyBenchmark(Double.isFinite(noiseDb));
        for (double hz : new double[] {31.5, 100, 997, 3150, 7100}) {
          for (double levelDb : new double[] {-0.5, -6, -20}) {
            cell.take(hz, Math.pow(10, levelDb / 20), harmonicDb, Math.pow(10, noiseDb / 20));
          }
        }
        System.out.printf(
            Locale.ROOT,
            "  %6.0f dB  %10s  %9.5f   %11.4f   %9.4f   %13.4f%n",
            harmonicDb,
            cell.dither ? Math.round(noiseDb) + " dBFS" : "rounded",
            cell.worstLevel,
            cell.worstHarmonic,
            cell.worstThd,
            1e6 * cell.worstFrequency);
      }
    }
    System.out.println(
        "  goal                     0.005           0.1         0.1               1");
  }

  private void take(double hz, double peak, double harmonicDb, double noiseRms) {
    CoherentTone tone = CoherentTone.near(hz, RATE, LENGTH);
    check(
        ToneAnalysis.coherent(
            capture(tone.frequencyHz(), peak, harmonicDb, noiseRms),
            RATE,
            tone.cycles(),
            BAND,
            HARMONICS),
        peak,
        harmonicDb);
    double free = hz * 1.00037;
    ToneFigures fitted =
        ToneAnalysis.fitted(
            capture(free, peak, harmonicDb, noiseRms), RATE, free * 1.02, BAND, HARMONICS);
    worstFrequency = Math.max(worstFrequency, Math.abs(fitted.frequencyHz() / free - 1));
    check(fitted, peak, harmonicDb);
  }

  private void check(ToneFigures figures, double peak, double harmonicDb) {
    double level = 20 * Math.log10(figures.levelVolts() * Math.sqrt(2) / peak);
    worstLevel = Math.max(worstLevel, Math.abs(level));
    for (int order = 2; order <= HARMONICS; order++) {
      double db = 20 * Math.log10(figures.harmonic(order).orElseThrow().ratio()) - harmonicDb;
      worstHarmonic = Math.max(worstHarmonic, Math.abs(db));
    }
    double thd = harmonicDb + 10 * Math.log10(HARMONICS - 1);
    worstThd = Math.max(worstThd, Math.abs(20 * Math.log10(figures.thd()) - thd));
  }

  private double[] capture(double hz, double peak, double harmonicDb, double noiseRms) {
    double[] volts = new double[LENGTH];
    double harmonic = peak * Math.pow(10, harmonicDb / 20);
    for (int n = 0; n < LENGTH; n++) {
      double turns = hz / RATE * n;
      double angle = 2 * Math.PI * (turns - Math.rint(turns));
      double value = peak * Math.sin(angle);
      for (int order = 2; order <= HARMONICS; order++) {
        value += harmonic * Math.sin(order * angle + 0.7 * order);
      }
      value += noiseRms * Math.sqrt(3) * uniform();
      double added = dither ? STEP / 2 * (uniform() + uniform()) : 0;
      volts[n] = Math.rint((value + added) / STEP) * STEP;
    }
    return volts;
  }

  /** From -1 to 1. */
  private double uniform() {
    state = state * 6364136223846793005L + 1442695040888963407L;
    return (state >>> 11) * 0x1p-52 - 1;
  }
}
