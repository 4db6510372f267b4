package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Map;
import kitproof.value.Curve;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SweepAnalysisTest {

  /** Source of the values: filter_responses.csv, coefficients and SciPy's response to them. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "RBJ LPF fs=48000 f0=1000 Q=0.7071067811865476 gain=0 dB",
        "RBJ HPF fs=48000 f0=1000 Q=0.7071067811865476 gain=0 dB",
        "RBJ LPF fs=48000 f0=8000 Q=0.5 gain=0 dB",
        "RBJ HPF fs=48000 f0=20 Q=0.7071067811865476 gain=0 dB",
        "RBJ notch fs=48000 f0=1000 Q=2.0 gain=0 dB",
        "RBJ notch fs=48000 f0=997 Q=1.5 gain=0 dB",
        "RBJ BPF fs=48000 f0=1000 Q=5 gain=0 dB",
        "RBJ peak fs=48000 f0=1000 Q=1.0 gain=6 dB",
        "RBJ peak fs=48000 f0=4000 Q=2.0 gain=-9 dB",
        "RBJ lowshelf fs=48000 f0=200 Q=0.7071067811865476 gain=6 dB",
        "RBJ highshelf fs=48000 f0=5000 Q=0.7071067811865476 gain=-6 dB",
        "RBJ peak fs=96000 f0=15000 Q=1.41 gain=3 dB",
        "Butterworth LP n=8 fc=20000 fs=96000",
        "Butterworth HP n=3 fc=22.4 fs=48000",
        "Butterworth BP n=3 (6th order) 22.4-22400 fs=96000",
        "Butterworth LP n=2 fc=1000 fs=48000",
        "Butterworth BP n=3 third-octave 1000 Hz fs=48000",
      })
  void sweep_and_stepped_tones_find_the_response_that_scipy_computes(String filter) {
    Biquads device = Biquads.named(filter);
    Sweep sweep = Sweep.synchronised(20, 20000, 5, device.rate());
    double[] played = Arrays.copyOf(sweep.samples(1.5), sweep.length() + (int) (device.rate() / 2));
    SweepResponse response = SweepAnalysis.response(sweep, 1.5, device.filter(played));
    int checked = 0;
    for (Map<String, String> row : Reference.rows("filter_responses.csv")) {
      if (!row.get("filter").equals(filter) || row.get("f_Hz").isEmpty()) {
        continue;
      }
      double hz = Double.parseDouble(row.get("f_Hz"));
      // An exact zero of the filter stands there as minus infinity.
      double expected =
          row.get("value").startsWith("-inf") ? -999 : Double.parseDouble(row.get("value"));
      if (hz < 20 || hz > 20000) {
        continue;
      }
      SineFit tone = stepped(device, hz);
      // Deep in a stop band the gate's own floor shows; no amplifier is judged there.
      boolean deep = Levels.db(tone.peakVolts()) < -60;
      if (row.get("quantity").equals("mag_dB")) {
        if (expected > -200) {
          assertThat(Levels.db(tone.peakVolts()))
              .as("tone at %s Hz", hz)
              .isCloseTo(expected, within(1e-5)); // coefficients have twelve digits
        }
        if (!deep) {
          assertThat(response.gainDb(hz))
              .as("sweep at %s Hz", hz)
              .isCloseTo(expected, within(0.02));
        } else {
          assertThat(response.gainDb(hz)).as("sweep at %s Hz", hz).isLessThan(-59);
        }
        checked++;
      } else if (row.get("quantity").equals("phase_deg") && !deep) {
        assertThat(apart(Math.toDegrees(tone.phaseRadians()), expected)).isLessThan(1e-5);
        assertThat(apart(response.phaseDegrees(hz), expected)).as("%s Hz", hz).isLessThan(0.2);
      }
    }
    assertThat(checked).isGreaterThanOrEqualTo(13);
  }

  private static double apart(double degrees, double others) {
    return Math.abs(Math.IEEEremainder(degrees - others, 360));
  }

  /** A tone after it has settled for a second. */
  private static SineFit stepped(Biquads device, double hz) {
    int second = (int) device.rate();
    double[] answer = device.filter(Signals.sine(1, hz, 0, second, second + second / 4));
    // The phase is that at the first sample kept, a whole second after the start of the tone.
    SineFit fit =
        SineFit.threeParameter(Arrays.copyOfRange(answer, second, answer.length), second, hz);
    double turned = 2 * Math.PI * hz;
    return new SineFit(
        hz,
        fit.cosine() * Math.cos(turned) - fit.sine() * Math.sin(turned),
        fit.cosine() * Math.sin(turned) + fit.sine() * Math.cos(turned),
        fit.offset(),
        fit.residualVolts());
  }

  @ParameterizedTest
  @CsvSource({
    "20, 20000, 5, 48000",
    "20, 20000, 4, 44100",
    "10, 80000, 5, 192000",
    "5, 40000, 8, 96000"
  })
  void a_wire_has_no_response_of_its_own_up_to_both_edges(
      double low, double high, double seconds, double rate) {
    Sweep sweep = Sweep.synchronised(low, high, seconds, rate);
    SweepResponse response = SweepAnalysis.response(sweep, 2, sweep.samples(2));
    Curve curve = response.magnitudeDb(ResponseFigures.logSpaced(low, high, 24));
    for (int i = 0; i < curve.size(); i++) {
      assertThat(curve.y(i)).as("%s Hz", curve.x(i)).isCloseTo(0, within(1e-6));
    }
  }

  /** Against the filter's own response, which is known in closed form. */
  @Test
  void a_corner_just_below_the_band_is_followed_down_to_its_edge() {
    double rate = 96_000;
    double w = 2 * Math.PI * 8 / rate;
    double a = Math.sin(w) / 2 / 0.9;
    double[] b = {(1 + Math.cos(w)) / 2, -(1 + Math.cos(w)), (1 + Math.cos(w)) / 2};
    double[] c = {1 + a, -2 * Math.cos(w), 1 - a};
    Sweep sweep = Sweep.synchronised(10, 45_000, 4, rate);
    double[] x = Arrays.copyOf(sweep.samples(1), sweep.length() + 28_800);
    double[] y = new double[x.length];
    for (int n = 2; n < x.length; n++) {
      y[n] =
          (b[0] * x[n] + b[1] * x[n - 1] + b[2] * x[n - 2] - c[1] * y[n - 1] - c[2] * y[n - 2])
              / c[0];
    }
    Curve curve =
        SweepAnalysis.response(sweep, 1, y).magnitudeDb(ResponseFigures.logSpaced(10, 45_000, 12));
    for (int i = 0; i < curve.size(); i++) {
      double phase = 2 * Math.PI * curve.x(i) / rate;
      double exact = 10 * Math.log10(power(b, phase) / power(c, phase));
      assertThat(curve.y(i)).as("%s Hz", curve.x(i)).isCloseTo(exact, within(0.02));
    }
  }

  private static double power(double[] coefficients, double phase) {
    double re = 0;
    double im = 0;
    for (int i = 0; i < coefficients.length; i++) {
      re += coefficients[i] * Math.cos(i * phase);
      im -= coefficients[i] * Math.sin(i * phase);
    }
    return re * re + im * im;
  }

  @Test
  void a_delay_is_seen_as_phase_and_can_be_taken_out() {
    Sweep sweep = Sweep.synchronised(20, 20000, 5, 48000);
    double[] late = new double[sweep.length() + 4800];
    System.arraycopy(sweep.samples(1), 0, late, 480, sweep.length());
    FrequencyResponse response = SweepAnalysis.response(sweep, 1, late).linear();
    double[] hz = ResponseFigures.logSpaced(20, 20000, 12);
    FrequencyResponse prompt = response.withoutDelay(0.01);
    for (double f : hz) {
      assertThat(response.gainDb(f)).isCloseTo(0, within(0.005));
      assertThat(apart(response.phaseDegrees(f), -360 * f * 0.01)).isLessThan(0.1);
      assertThat(prompt.phaseDegrees(f)).isCloseTo(0, within(0.1));
    }
    Curve phase = response.phase(ResponseFigures.logSpaced(20, 500, 100));
    assertThat(phase.y(phase.size() - 1) - phase.y(0)).isCloseTo(-360 * 4.8, within(0.2));
  }

  @Test
  void the_sweep_has_the_parameters_of_the_papers() {
    Sweep sweep = Sweep.synchronised(20, 6000, 4, 48000);
    assertThat(sweep.secondsPerFactor()).isCloseTo(parameter("L_s"), within(1e-12));
    assertThat(sweep.bandSeconds()).isCloseTo(parameter("T_s"), within(1e-9));
    assertThat(sweep.harmonicLeadSeconds(2)).isCloseTo(parameter("dt2_s"), within(1e-9));
    assertThat(sweep.harmonicLeadSeconds(3)).isCloseTo(parameter("dt3_s"), within(1e-9));
    assertThat(sweep.harmonicLeadSeconds(4)).isCloseTo(parameter("dt4_s"), within(1e-9));
  }

  private static double parameter(String quantity) {
    return Reference.value("farina_sweep.csv", "case", "sweep parameters", "quantity", quantity);
  }

  /** Source of the values: farina_sweep.csv, trigonometric identities and an analytic inverse. */
  @ParameterizedTest
  @ValueSource(strings = {"a2=0.1 a3=0.05", "a2=0.02 a3=-0.01", "a2=0 a3=0"})
  void harmonics_of_a_polynomial_are_told_apart(String name) {
    double a2 = Double.parseDouble(name.split("[= ]")[1]);
    double a3 = Double.parseDouble(name.split("[= ]")[3]);
    Sweep sweep = Sweep.synchronised(20, 6000, 4, 48000);
    double[] captured = Signals.map(sweep.samples(1), x -> x + a2 * x * x + a3 * x * x * x);
    SweepResponse response = SweepAnalysis.response(sweep, 1, captured);
    int checked = 0;
    for (Map<String, String> row : Reference.rows("farina_sweep.csv")) {
      if (!row.get("case").equals(name) || row.get("f_Hz").isEmpty()) {
        continue;
      }
      int order = row.get("quantity").charAt(1) - '0';
      double hz = Double.parseDouble(row.get("f_Hz")) / order;
      double exact =
          Reference.value(
              "farina_sweep.csv", "case", name, "quantity", "H" + order + " exact (memoryless)");
      FrequencyResponse found =
          order == 1 ? response.linear() : response.harmonic(order).orElseThrow();
      assertThat(found.at(hz).abs())
          .as("H%d at %s Hz", order, hz)
          .isCloseTo(exact, within(Math.max(1e-5 * exact, 1e-6)));
      checked++;
    }
    assertThat(checked).isEqualTo(16);
  }

  @Test
  void the_phase_of_a_harmonic_tells_which_way_the_curve_bends() {
    // sin² = (1 - cos 2φ)/2: the second harmonic is a sine 90 degrees late; sin³ holds -sin(3φ)/4.
    Sweep sweep = Sweep.synchronised(20, 6000, 4, 48000);
    double[] captured = Signals.map(sweep.samples(1), x -> x + 0.1 * x * x + 0.04 * x * x * x);
    SweepResponse response = SweepAnalysis.response(sweep, 1, captured);
    assertThat(response.harmonic(2).orElseThrow().phaseDegrees(500)).isCloseTo(-90, within(0.01));
    assertThat(apart(response.harmonic(3).orElseThrow().phaseDegrees(500), 180)).isLessThan(0.01);
  }

  @Test
  void distortion_does_not_disturb_the_linear_response() {
    // A filter behind a curved stage; at 96 kHz the second harmonic is not folded back.
    Biquads filter = Biquads.named("Butterworth BP n=3 (6th order) 22.4-22400 fs=96000");
    Sweep sweep = Sweep.synchronised(20, 20000, 5, 96000);
    double[] played = Arrays.copyOf(sweep.samples(1), sweep.length() + 48000);
    double[] clean = filter.filter(played);
    double[] bent = filter.filter(Signals.map(played, x -> x + 0.1 * x * x));
    SweepResponse straight = SweepAnalysis.response(sweep, 1, clean);
    SweepResponse curved = SweepAnalysis.response(sweep, 1, bent);
    for (double hz : ResponseFigures.logSpaced(20, 20000, 6)) {
      assertThat(curved.gainDb(hz)).as("%s Hz", hz).isCloseTo(straight.gainDb(hz), within(0.01));
    }
  }

  @Test
  void orders_above_the_band_are_absent() {
    Sweep sweep = Sweep.synchronised(1000, 3500, 2, 48000);
    SweepResponse response = SweepAnalysis.response(sweep, 1, sweep.samples(1));
    assertThat(response.harmonic(3).orElseThrow().band().highHz()).isEqualTo(3500 / 3.0);
    assertThat(response.harmonic(4)).isEmpty();
    assertThatIllegalArgumentException().isThrownBy(() -> response.harmonic(6));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> response.gainDb(900))
        .withMessageContaining("900.0 Hz is outside");
  }

  @Test
  void the_sweep_starts_and_ends_without_a_click_and_reaches_its_peak() {
    Sweep sweep = Sweep.synchronised(20, 20000, 5, 48000);
    double[] samples = sweep.samples(3);
    assertThat(samples).hasSize(sweep.length());
    assertThat(sweep.durationSeconds()).isBetween(5.0, 6.0);
    assertThat(Math.abs(samples[0])).isLessThan(1e-6);
    assertThat(Math.abs(samples[samples.length - 1])).isLessThan(1e-3);
    assertThat(Levels.peak(samples)).isCloseTo(3, within(1e-4));
  }

  @Test
  void input_is_left_alone_and_level_scales() {
    Sweep sweep = Sweep.synchronised(50, 5000, 2, 48000);
    double[] captured = sweep.samples(0.5);
    double[] copy = captured.clone();
    assertThat(SweepAnalysis.response(sweep, 0.25, captured).gainDb(1000))
        .isCloseTo(Levels.db(2), within(1e-9));
    assertThat(captured).containsExactly(copy);
  }

  @Test
  void what_cannot_be_analysed_is_refused_with_the_reason() {
    Sweep sweep = Sweep.synchronised(20, 20000, 1, 48000);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SweepAnalysis.response(sweep, 1, new double[0]))
        .withMessageContaining("0 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SweepAnalysis.response(sweep, 1, new double[1000]))
        .withMessageContaining("1000 samples of a sweep of");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Sweep.synchronised(20, 24000, 1, 48000))
        .withMessageContaining("24000.0 Hz");
    assertThatIllegalArgumentException().isThrownBy(() -> Sweep.synchronised(200, 20, 1, 48000));
  }
}
