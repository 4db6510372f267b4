package kitproof.driver.kit;

import java.time.Duration;
import java.util.List;
import java.util.function.UnaryOperator;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.BenchClock;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.value.Signal;

/**
 * An audio interface in front of a function from stimulus to capture.
 *
 * <p>Strict: refuses what the contract says must be refused, and a function that gives another
 * length or number of channels. Clipping is seen at an input's full scale; lost samples are
 * scripted. An exchange takes its length in bench time.
 */
public final class FakeAudioInterface implements AudioInterface {
  private final Calls calls;
  private final String role;
  private final AudioPorts ports;
  private final UnaryOperator<Signal> unit;
  private int toLose;
  private boolean closed;
  private boolean atRest = true;
  private int awakenings;
  private BenchClock clock;

  public FakeAudioInterface(
      Calls calls, String role, AudioPorts ports, UnaryOperator<Signal> unit) {
    this.calls = calls;
    this.role = role;
    this.ports = ports;
    this.unit = unit;
    this.clock = calls.clock();
  }

  /** The time of what is played passes on this clock, which may have more to do meanwhile. */
  public FakeAudioInterface passing(BenchClock time) {
    clock = time;
    return this;
  }

  /** Stereo at 48 kHz, outputs and inputs "left" and "right" of 10 V peak, in a plain loop. */
  public static FakeAudioInterface loop(Calls calls, String role) {
    List<AudioPort> stereo = List.of(new AudioPort("left", 10), new AudioPort("right", 10));
    return new FakeAudioInterface(
        calls, role, new AudioPorts(48_000, stereo, stereo), UnaryOperator.identity());
  }

  /** The next capture says that samples were lost. */
  public FakeAudioInterface loseNext() {
    toLose = 1;
    return this;
  }

  /** Every capture from now on says that samples were lost. */
  public FakeAudioInterface loseAlways() {
    toLose = Integer.MAX_VALUE;
    return this;
  }

  public boolean isClosed() {
    return closed;
  }

  /** Whether nothing has been played since it was opened, made safe or put to rest. */
  public boolean isAtRest() {
    return atRest;
  }

  /** How often something was played while it was at rest. */
  public int awakenings() {
    return awakenings;
  }

  @Override
  public Identity identity() {
    return new Identity("Fake", "audio interface", role, "1");
  }

  @Override
  public AudioPorts ports() {
    return ports;
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    Fakes.requireOpen(closed, role);
    calls.enter(role, "exchange " + stimulus);
    if (stimulus.sampleRateHz() != ports.sampleRateHz()
        || stimulus.channels() != ports.outputs().size()
        || beyond(stimulus, ports.outputs(), false)) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, role + " cannot play " + stimulus);
    }
    awakenings += atRest ? 1 : 0;
    atRest = false;
    Signal captured = unit.apply(stimulus);
    if (captured.length() != stimulus.length() || captured.channels() != ports.inputs().size()) {
      throw new IllegalStateException("the test's unit gave " + captured + " for " + stimulus);
    }
    try {
      clock.sleep(Duration.ofNanos((long) (1e9 * stimulus.durationSeconds())));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(InstrumentException.Kind.OTHER, role + " was interrupted", e);
    }
    boolean lost = toLose > 0;
    toLose -= lost ? 1 : 0;
    return new Capture(captured, beyond(captured, ports.inputs(), true), lost);
  }

  private static boolean beyond(Signal signal, List<AudioPort> at, boolean orEqual) {
    for (int channel = 0; channel < at.size(); channel++) {
      double full = at.get(channel).fullScalePeakVolts();
      for (double volts : signal.channel(channel)) {
        if (Math.abs(volts) > full || (orEqual && Math.abs(volts) == full)) {
          return true;
        }
      }
    }
    return false;
  }

  @Override
  public void rest() {
    atRest = true;
  }

  @Override
  public void makeSafe() throws InstrumentException {
    atRest = true;
    if (!closed) {
      calls.enter(role, "make safe");
    }
  }

  @Override
  public void close() throws InstrumentException {
    if (!closed) {
      closed = true;
      calls.enter(role, "close");
    }
  }
}
