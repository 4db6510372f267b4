package kitproof.driver.audio;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.FullScale;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.Settings;
import kitproof.value.Quantity;
import kitproof.value.Signal;
import kitproof.value.Unit;

/**
 * Names of the bench file on channels of the device.
 *
 * @param ports rate and named ports
 * @param outputChannels the device's channel of each output, from 0
 * @param inputChannels the device's channel of each input, from 0
 */
record Wiring(AudioPorts ports, List<Integer> outputChannels, List<Integer> inputChannels) {
  static final int MOST_CHANNELS = 64;

  static Wiring read(Settings settings) {
    int rate =
        settings.parsedOr("rate", "a sample rate, such as \"48 kHz\"", 48_000, Wiring::parseRate);
    List<Integer> outputChannels = new ArrayList<>();
    List<Integer> inputChannels = new ArrayList<>();
    List<AudioPort> outputs = side(settings, "outputs", outputChannels);
    List<AudioPort> inputs = side(settings, "inputs", inputChannels);
    return new Wiring(new AudioPorts(rate, outputs, inputs), outputChannels, inputChannels);
  }

  private static int parseRate(String text) {
    double rate = Quantity.parse(text, Unit.HERTZ).value();
    if (rate < 8_000 || rate > 192_000 || rate != Math.rint(rate)) {
      throw new IllegalArgumentException("a whole sample rate from 8 kHz to 192 kHz");
    }
    return (int) rate;
  }

  private static List<AudioPort> side(Settings settings, String key, List<Integer> channels) {
    Map<String, Settings> parts = settings.parts(key);
    if (parts.isEmpty()) {
      settings.reject(key, "at least one, such as \"left: {channel: 1, full-scale: 2 V}\"");
    }
    List<AudioPort> ports = new ArrayList<>();
    Set<Integer> taken = new HashSet<>();
    parts.forEach(
        (name, part) -> {
          if (!part.has("channel")) {
            part.reject("channel", "the device's channel, counted from 1");
          }
          int channel = part.integer("channel", 1, MOST_CHANNELS, 1);
          double peak = part.parsed("full-scale", FullScale.EXPECTED, 1.0, FullScale::peakVolts);
          if (part.has("channel") && !taken.add(channel)) {
            part.reject("channel", "a channel that no other of the " + key + " has");
          }
          channels.add(channel - 1);
          ports.add(new AudioPort(name, peak));
        });
    return ports;
  }

  int rate() {
    return (int) ports.sampleRateHz();
  }

  /**
   * Refuses what cannot be played.
   *
   * @throws InstrumentException RANGE for another rate, number of channels, or too much voltage
   */
  void requirePlayable(Signal stimulus) throws InstrumentException {
    if (stimulus.sampleRateHz() != ports.sampleRateHz()) {
      throw new InstrumentException(
          Kind.RANGE,
          "found a stimulus at "
              + stimulus.sampleRateHz()
              + " Hz; expected "
              + ports.sampleRateHz()
              + " Hz");
    }
    if (stimulus.channels() != ports.outputs().size()) {
      throw new InstrumentException(
          Kind.RANGE,
          "found a stimulus of "
              + stimulus.channels()
              + " channels; expected one for each of the "
              + ports.outputs().size()
              + " outputs");
    }
    for (int i = 0; i < stimulus.channels(); i++) {
      AudioPort port = ports.outputs().get(i);
      double peak = 0;
      for (double volts : stimulus.channel(i)) {
        peak = Double.isNaN(volts) ? Double.NaN : Math.max(peak, Math.abs(volts));
      }
      // A sine computed for full scale may round a hair above it.
      if (!(peak <= port.fullScalePeakVolts() * (1 + 1e-9))) {
        throw new InstrumentException(
            Kind.RANGE,
            "found a stimulus of "
                + peak
                + " V peak; expected at most "
                + port.fullScalePeakVolts()
                + " V peak, the full scale of output "
                + port.name());
      }
    }
  }
}
