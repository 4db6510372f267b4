package kitproof.driver;

import java.util.List;

/**
 * What an audio interface offers.
 *
 * @param sampleRateHz samples per second
 * @param outputs in the order of a stimulus' channels, at least one
 * @param inputs in the order of a capture's channels, at least one
 */
public record AudioPorts(double sampleRateHz, List<AudioPort> outputs, List<AudioPort> inputs) {
  public AudioPorts {
    outputs = List.copyOf(outputs);
    inputs = List.copyOf(inputs);
  }

  /** The index of the output with this name, or -1. */
  public int output(String name) {
    return index(outputs, name);
  }

  /** The index of the input with this name, or -1. */
  public int input(String name) {
    return index(inputs, name);
  }

  private static int index(List<AudioPort> ports, String name) {
    for (int i = 0; i < ports.size(); i++) {
      if (ports.get(i).name().equals(name)) {
        return i;
      }
    }
    return -1;
  }
}
