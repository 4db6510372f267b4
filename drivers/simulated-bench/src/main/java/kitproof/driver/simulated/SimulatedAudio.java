package kitproof.driver.simulated;

import java.util.List;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Handling;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.simulated.unit.Noise;
import kitproof.value.Signal;

/** Converters in front of the simulated unit: full scale, noise and clipping. */
final class SimulatedAudio implements AudioInterface {
  private final Bench bench;
  private final AudioSettings settings;
  private final Noise noise;
  private volatile boolean closed;

  /** Each trial of a gauge study hears a noise of its own. */
  SimulatedAudio(Bench bench, AudioSettings settings, Handling handling) {
    this.bench = bench;
    this.settings = settings;
    this.noise = new Noise(0x617564 ^ Contacts.ofTrial(handling));
  }

  @Override
  public Identity identity() {
    return new Identity("Kitproof", "simulated audio interface", settings.bench(), "");
  }

  @Override
  public AudioPorts ports() {
    return settings.ports();
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    if (closed) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE, identity() + " is closed");
    }
    AudioPorts ports = settings.ports();
    check(stimulus, ports);
    double rate = ports.sampleRateHz();
    double gain = bench.inputGain();
    double[][] out =
        bench.exchange(
            rate,
            played(stimulus, ports.output("left"), 0),
            played(stimulus, ports.output("right"), 1));
    List<AudioPort> inputs = ports.inputs();
    double[][] captured = new double[inputs.size()][];
    boolean clipped = false;
    double[][] seen = settings.errors().seen(out, rate, inputs.get(0).fullScalePeakVolts() / gain);
    for (int i = 0; i < captured.length; i++) {
      captured[i] = seen[inputs.get(i).name().equals("left") ? 0 : 1].clone();
      clipped |= convert(captured[i], gain, inputs.get(i).fullScalePeakVolts(), rate);
    }
    return new Capture(Signal.of(rate, captured), clipped, false);
  }

  private static void check(Signal stimulus, AudioPorts ports) throws InstrumentException {
    if (stimulus.sampleRateHz() != ports.sampleRateHz()) {
      throw range(
          "a stimulus at "
              + stimulus.sampleRateHz()
              + " Hz for an interface at "
              + ports.sampleRateHz()
              + " Hz");
    }
    if (stimulus.channels() != ports.outputs().size()) {
      throw range(
          "a stimulus of "
              + stimulus.channels()
              + " channels for "
              + ports.outputs().size()
              + " outputs");
    }
    for (int c = 0; c < stimulus.channels(); c++) {
      double most = ports.outputs().get(c).fullScalePeakVolts();
      for (int i = 0; i < stimulus.length(); i++) {
        double volts = stimulus.at(c, i);
        if (!(Math.abs(volts) <= most * (1 + 1e-9))) {
          throw range(
              volts + " V at output " + ports.outputs().get(c).name() + ", full scale " + most);
        }
      }
    }
  }

  private static InstrumentException range(String message) {
    return new InstrumentException(InstrumentException.Kind.RANGE, message);
  }

  private double[] played(Signal stimulus, int output, int side) {
    if (output < 0) {
      return new double[stimulus.length()];
    }
    double[] samples = stimulus.channel(output);
    double rms = settings.noise() * settings.ports().outputs().get(output).fullScalePeakVolts();
    for (int i = 0; i < samples.length; i++) {
      samples[i] =
          settings.errors().outputs()[side] * samples[i] + rms * Math.sqrt(0.5) * noise.next();
    }
    return samples;
  }

  /** Attenuates less, adds noise and clips; tells whether full scale was reached. */
  private boolean convert(double[] samples, double gain, double fullScale, double rate) {
    boolean reached = false;
    double rms = settings.noise() * fullScale * Math.sqrt(0.5);
    for (int i = 0; i < samples.length; i++) {
      double own = fullScale * settings.errors().spur().at(i, rate);
      double volts = gain * samples[i] + rms * noise.next() + own;
      if (Math.abs(volts) >= fullScale) {
        volts = Math.copySign(fullScale, volts);
        reached = true;
      }
      samples[i] = volts;
    }
    return reached;
  }

  @Override
  public void makeSafe() {
    // Silent whenever nothing is being exchanged.
  }

  @Override
  public void close() {
    closed = true;
  }
}
