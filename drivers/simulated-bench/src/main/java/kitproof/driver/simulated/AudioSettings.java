package kitproof.driver.simulated;

import java.util.ArrayList;
import java.util.List;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.FullScale;
import kitproof.driver.Settings;
import kitproof.value.Node;
import kitproof.value.Unit;

/**
 * What an audio interface role says.
 *
 * @param bench the name that the switcher gives too
 * @param ports rate and channels; port names are "left" and "right"
 * @param noise converter noise, rms relative to a full-scale sine
 * @param errors what it does wrong
 */
record AudioSettings(String bench, AudioPorts ports, double noise, AudioErrors errors) {
  private static final double LOWEST_RATE = 44_100;
  private static final double HIGHEST_RATE = 192_000;

  /** The channels that the unit has, and the words for them. */
  enum Side {
    LEFT("left"),
    RIGHT("right");

    private final String word;

    Side(String word) {
      this.word = word;
    }

    @Override
    public String toString() {
      return word;
    }
  }

  static AudioSettings read(Settings settings) {
    String bench = settings.text("bench");
    double rate = settings.quantity("sample-rate", Unit.HERTZ, 96_000).value();
    if (rate < LOWEST_RATE || rate > HIGHEST_RATE) {
      settings.reject("sample-rate", "44.1 kHz to 192 kHz");
      rate = 96_000;
    }
    List<AudioPort> outputs = ports(settings, "outputs");
    List<AudioPort> inputs = ports(settings, "inputs");
    double noise = settings.quantity("noise", Unit.DECIBEL, -110).value();
    if (noise > -20) {
      settings.reject("noise", "-20 dB or less, relative to full scale");
    }
    return new AudioSettings(
        bench,
        new AudioPorts(rate, outputs, inputs),
        Math.pow(10, noise / 20),
        AudioErrors.read(settings, rate));
  }

  private static List<AudioPort> ports(Settings settings, String key) {
    Settings section = settings.part(key);
    List<AudioPort> ports = new ArrayList<>();
    for (Node.Entry entry : section.section().entries()) {
      for (Side side : Side.values()) {
        if (entry.key().equals(side.toString())) {
          double peak = section.parsed(entry.key(), FullScale.EXPECTED, 1.0, FullScale::peakVolts);
          ports.add(new AudioPort(entry.key(), peak));
        }
      }
    }
    if (ports.isEmpty()) {
      settings.reject(key, "left, right or both with their full scale, such as {left: 2 V}");
    }
    return ports;
  }
}
