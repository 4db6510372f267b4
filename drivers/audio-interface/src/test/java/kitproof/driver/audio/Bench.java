package kitproof.driver.audio;

import java.util.Arrays;
import java.util.Map;
import kitproof.driver.AudioInterface;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.RealClock;
import kitproof.value.Signal;

/** The driver on the sound server, opened as a bench would. */
final class Bench {
  private Bench() {}

  /** Outputs of 1 V peak and inputs of 10 V peak, left on channel 1, right on channel 2. */
  static Map<String, Object> stereo() {
    return Nodes.map(
        "outputs",
            Nodes.map(
                "left", Nodes.map("channel", 1, "full-scale", "1 V peak"),
                "right", Nodes.map("channel", 2, "full-scale", "1 V peak")),
        "inputs",
            Nodes.map(
                "left", Nodes.map("channel", 1, "full-scale", "10 V peak"),
                "right", Nodes.map("channel", 2, "full-scale", "10 V peak")));
  }

  static AudioInterface open(Map<String, Object> settings) throws InstrumentException {
    return (AudioInterface)
        new AudioDriver()
            .open(
                InstrumentKind.AUDIO_INTERFACE,
                Nodes.settings(settings),
                new FakeContext(new RealClock()));
  }

  static AudioInterface open() throws InstrumentException {
    return open(stereo());
  }

  /**
   * An exchange of which nothing was lost, tried again as a procedure would: on a busy machine the
   * sound server itself comes late now and then.
   */
  static Capture exchange(AudioInterface audio, Signal stimulus) throws InstrumentException {
    Capture capture = audio.exchange(stimulus);
    for (int i = 0; i < 4 && capture.lost(); i++) {
      capture = audio.exchange(stimulus);
    }
    if (capture.lost()) {
      throw new AssertionError("samples lost in five exchanges out of five");
    }
    return capture;
  }

  /** A sine with a whole number of cycles in the block. */
  static double[] sine(int length, int cycles, double peak) {
    double[] samples = new double[length];
    for (int i = 0; i < length; i++) {
      samples[i] = peak * Math.sin(2 * Math.PI * cycles * (double) i / length);
    }
    return samples;
  }

  /** The part with this many cycles in the block, by the defining sum. */
  record Part(double cosine, double sine) {
    static Part of(double[] samples, int cycles) {
      double cosine = 0;
      double sine = 0;
      for (int i = 0; i < samples.length; i++) {
        double angle = angle(i, cycles, samples.length);
        cosine += 2 * samples[i] * Math.cos(angle) / samples.length;
        sine += 2 * samples[i] * Math.sin(angle) / samples.length;
      }
      return new Part(cosine, sine);
    }

    double peak() {
      return Math.hypot(cosine, sine);
    }

    /** 0 for the sine of {@link Bench#sine}, negative if it comes later. */
    double degrees() {
      return Math.toDegrees(Math.atan2(cosine, sine));
    }
  }

  private static double angle(int i, int cycles, int length) {
    return 2 * Math.PI * ((long) cycles * i % length) / length;
  }

  static double decibels(double ratio) {
    return 20 * Math.log10(ratio);
  }

  /** THD+N over the whole band: all but DC and the part with this many cycles, in dB. */
  static double residual(double[] samples, int cycles) {
    double mean = Arrays.stream(samples).average().orElseThrow();
    Part part = Part.of(samples, cycles);
    double all = 0;
    double rest = 0;
    for (int i = 0; i < samples.length; i++) {
      double angle = angle(i, cycles, samples.length);
      double value = samples[i] - mean;
      double left = value - part.cosine * Math.cos(angle) - part.sine * Math.sin(angle);
      all += value * value;
      rest += left * left;
    }
    return 10 * Math.log10(rest / all);
  }
}
