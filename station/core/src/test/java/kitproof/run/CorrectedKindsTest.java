package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import kitproof.calibration.Calibration;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.InstrumentException;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.PathInverse;
import kitproof.signal.Spectrum;
import kitproof.signal.Sweep;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepResponse;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.Window;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;

/**
 * An error of level that is built into the path shows in levels, spectra and curves of raw captures
 * and in none of corrected ones. Corrected a second time it would be there with the other sign: so
 * it is taken out once.
 */
class CorrectedKindsTest {
  private static final double RATE = 48_000;
  private static final double NEAR_DB = 0.005;

  /** 0 dB at 1 kHz, 3 dB more at 8 kHz, straight over the logarithm of the frequency. */
  private static double error(double hertz) {
    return Math.max(0, Math.min(3, Math.log(hertz / 1000) / Math.log(2)));
  }

  private static final String CALIBRATION =
      """
      bench: b
      date: 2026-11-26
      paths:
        - channel: left
          points:
            - {at: 1 Hz, level: 0 dB, u: 0.01 dB, phase: 0 deg}
            - {at: 1 kHz, level: 0 dB, u: 0.01 dB, phase: 0 deg}
            - {at: 8 kHz, level: 3 dB, u: 0.01 dB, phase: 0 deg}
            - {at: 24 kHz, level: 3 dB, u: 0.01 dB, phase: 0 deg}
      """;

  /** An interface whose path is off, and that gives a tone harmonics before it comes there. */
  private static AudioInterface raw() {
    AudioPorts ports =
        new AudioPorts(
            RATE, List.of(new AudioPort("left", 10)), List.of(new AudioPort("left", 10)));
    return new FakeAudioInterface(
        new Calls(new SimulatedClock(Instant.EPOCH)),
        "audio",
        ports,
        stimulus -> {
          double[] left = stimulus.channel(0);
          Arrays.setAll(left, i -> left[i] + 0.01 * left[i] * left[i]);
          return Signal.of(
              RATE,
              PathInverse.undo(left, RATE, hertz -> hertz > 0 ? -error(hertz) : 0, hertz -> 0));
        });
  }

  private static AudioInterface corrected() {
    return new CorrectedAudio(
        raw(), "audio", Calibration.read("c.yaml", CALIBRATION).value(), List.of(), () -> null);
  }

  private static double[] captured(AudioInterface audio, double[] played)
      throws InstrumentException {
    return audio.exchange(Signal.of(RATE, played)).signal().channel(0);
  }

  private static double level(AudioInterface audio, double hertz) throws InstrumentException {
    CoherentTone tone = CoherentTone.of(hertz, RATE, 16_384);
    double[] block = block(audio, tone);
    return Levels.db(
        ToneAnalysis.coherent(block, RATE, tone.cycles(), new Band(20, 20_000), 2).levelVolts());
  }

  /** The second of two blocks, when what begins has gone. */
  private static double[] block(AudioInterface audio, CoherentTone tone)
      throws InstrumentException {
    int length = tone.blockLength();
    double[] volts = captured(audio, tone.samples(1, 3 * length));
    return Arrays.copyOfRange(volts, length, 2 * length);
  }

  @Test
  void aLevelIsCorrectedOnce() throws InstrumentException {
    double truth = Levels.db(1 / Math.sqrt(2));
    assertThat(level(raw(), 4000)).isCloseTo(truth + 2, within(NEAR_DB));
    assertThat(level(corrected(), 4000)).isCloseTo(truth, within(NEAR_DB));
    assertThat(level(corrected(), 1000)).isCloseTo(truth, within(NEAR_DB));
  }

  private static double second(AudioInterface audio) throws InstrumentException {
    CoherentTone tone = CoherentTone.of(3500, RATE, 16_384);
    Spectrum spectrum = Spectrum.of(block(audio, tone), RATE, Window.FLAT_TOP);
    return Levels.db(spectrum.volts(2 * tone.cycles()));
  }

  @Test
  void aSpectrumIsCorrectedOnce() throws InstrumentException {
    double truth = Levels.db(0.01 / 2 / Math.sqrt(2));
    assertThat(second(raw())).isCloseTo(truth + error(7000), within(NEAR_DB));
    assertThat(second(corrected())).isCloseTo(truth, within(NEAR_DB));
  }

  private static SweepResponse response(AudioInterface audio) throws InstrumentException {
    Sweep sweep = Sweep.synchronised(50, 20_000, 0.5, RATE);
    double[] played = Arrays.copyOf(sweep.samples(1), sweep.samples(1).length + (int) RATE / 4);
    return SweepAnalysis.response(sweep, 1, captured(audio, played));
  }

  @Test
  void aCurveIsCorrectedOnce() throws InstrumentException {
    SweepResponse raw = response(raw());
    SweepResponse corrected = response(corrected());
    for (double hertz : new double[] {200, 1500, 2000, 5000, 12_000}) {
      // Where the error bends, a sweep of half a second rings by some hundredths.
      assertThat(raw.gainDb(hertz)).as("%s Hz", hertz).isCloseTo(error(hertz), within(0.05));
      assertThat(corrected.gainDb(hertz)).as("%s Hz", hertz).isCloseTo(0, within(0.05));
    }
  }
}
