package kitproof.run;

import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.plan.ChannelRoutes;
import kitproof.value.Signal;
import kitproof.value.Unit;

/**
 * An audio interface whose signals wait until the loads they end in have cooled enough.
 *
 * <p>What a signal will put into a load is reckoned from the most that earlier ones of this step
 * have put into it for their drive; the first is therefore let through, and what it did is counted.
 */
final class RatedAudio implements AudioInterface {
  private final AudioInterface audio;
  private final HeatBudget heat;
  private final Loads selected;
  private final ChannelRoutes channels;
  private final Wait step;
  private final Map<String, Double> wattsPerSquareVolt = new HashMap<>();

  /** What signals end in at the moment. */
  interface Loads {
    /** The loads that are selected. */
    List<Route> loads();

    /** What captured volts are multiplied by in the input range that is selected. */
    double inputScale();
  }

  /** The step in whose time a load cools. */
  interface Wait {
    /** The bench's time. */
    long benchNanos();

    /** Tells the operator. */
    void notice(String text) throws InstrumentException;

    /** Lets bench time pass. */
    void pause(Duration duration) throws InterruptedException;
  }

  RatedAudio(
      AudioInterface audio, HeatBudget heat, Loads selected, ChannelRoutes channels, Wait step) {
    this.audio = audio;
    this.heat = heat;
    this.selected = selected;
    this.channels = channels;
    this.step = step;
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    double seconds = stimulus.durationSeconds();
    List<Route> loads = selected.loads().stream().filter(load -> heat.knows(load.name())).toList();
    double scale = selected.inputScale();
    for (Route load : loads) {
      double watts = drive(load, stimulus) * wattsPerSquareVolt.getOrDefault(load.name(), 0.0);
      cool(load, heat.coolingBefore(load.name(), watts, seconds, step.benchNanos()));
    }
    Capture capture = audio.exchange(stimulus);
    for (Route load : loads) {
      int input = port(load, false);
      if (input < capture.signal().channels()) {
        double watts =
            meanSquare(capture.signal(), input)
                * scale
                * scale
                / Objects.requireNonNull(load.load()).in(Unit.OHM);
        heat.taken(load.name(), watts, seconds, step.benchNanos());
        double drive = drive(load, stimulus);
        if (drive > 0) {
          wattsPerSquareVolt.merge(load.name(), watts / drive, Math::max);
        }
      }
    }
    return capture;
  }

  private void cool(Route load, Duration time) throws InstrumentException {
    if (time.isZero()) {
      return;
    }
    step.notice("load \"" + load.name() + "\" cools for " + (time.toMillis() + 999) / 1000 + " s");
    try {
      step.pause(time);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "stopped while a load cooled", e);
    }
  }

  private double drive(Route load, Signal stimulus) {
    int output = port(load, true);
    return output < stimulus.channels() ? meanSquare(stimulus, output) : 0;
  }

  /** The load's channel at the interface; the first if it has none of its own. */
  private int port(Route load, boolean output) {
    String channel = channels.channelOf(load);
    int found = output ? ports().output(channel) : ports().input(channel);
    return Math.max(0, found);
  }

  private static double meanSquare(Signal signal, int channel) {
    double sum = 0;
    for (int i = 0; i < signal.length(); i++) {
      double volts = signal.at(channel, i);
      sum += volts * volts;
    }
    return sum / Math.max(1, signal.length());
  }

  @Override
  public AudioPorts ports() {
    return audio.ports();
  }

  @Override
  public Identity identity() {
    return audio.identity();
  }

  @Override
  public void makeSafe() throws InstrumentException {
    audio.makeSafe();
  }

  @Override
  public void close() throws InstrumentException {
    audio.close();
  }
}
