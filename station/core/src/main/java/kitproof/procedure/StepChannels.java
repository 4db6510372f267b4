package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.InstrumentException;
import kitproof.value.Conditions;

/** Finds the channels of the interface that a step's conditions name. */
final class StepChannels {
  private static final String CHANNEL = "channel";
  private static final String BOTH = "both";

  private StepChannels() {}

  /**
   * The channels, at least one.
   *
   * @throws InstrumentException if the interface has no such channel, or one of several has no load
   */
  static List<ToneBench.Channel> of(StepBench bench, AudioPorts ports, String role)
      throws InstrumentException {
    Conditions conditions = bench.conditions();
    String channel = conditions.values().get(CHANNEL);
    if (channel == null) {
      return List.of(channel(ports, "", conditions, 0, 0));
    }
    if (!channel.equals(BOTH)) {
      return List.of(named(ports, role, conditions, channel));
    }
    List<ToneBench.Channel> channels = new ArrayList<>();
    for (AudioPort output : ports.outputs()) {
      if (ports.input(output.name()) >= 0) {
        var unused = bench.load(output.name());
        channels.add(named(ports, role, conditions, output.name()));
      }
    }
    if (channels.isEmpty()) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          "the audio interface in role " + role + " has no output and input of the same name");
    }
    return channels;
  }

  private static ToneBench.Channel named(
      AudioPorts ports, String role, Conditions conditions, String name)
      throws InstrumentException {
    int output = ports.output(name);
    int input = ports.input(name);
    if (output < 0 || input < 0) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          "the audio interface in role "
              + role
              + " has no "
              + (output < 0 ? "output" : "input")
              + " \""
              + name
              + "\"; it has "
              + names(output < 0 ? ports.outputs() : ports.inputs()));
    }
    return channel(ports, name, conditions.with(CHANNEL, name), output, input);
  }

  private static ToneBench.Channel channel(
      AudioPorts ports, String name, Conditions conditions, int output, int input) {
    return new ToneBench.Channel(
        name,
        conditions,
        output,
        input,
        ports.outputs().get(output).fullScalePeakVolts(),
        ports.inputs().get(input).fullScalePeakVolts());
  }

  private static String names(List<AudioPort> ports) {
    return String.join(", ", ports.stream().map(AudioPort::name).toList());
  }
}
