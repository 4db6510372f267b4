package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.value.Signal;
import kitproof.value.Unit;

/**
 * An audio interface whose signals wait until the loads they end in have cooled enough.
 *
 * <p>What a signal will put into a load is reckoned from the most that earlier ones of this step
 * have put into it for their drive. Before the first one that is not known; as no signal of a step
 * goes beyond the power that the step states, that power is reckoned with.
 */
final class RatedAudio extends PassedOnAudio {
  private final HeatBudget heat;
  private final Loads selected;
  private final Bench bench;
  private final ChannelRoutes channels;
  private final Wait step;
  private final Map<String, Ratio> ratios = new HashMap<>();

  /**
   * A load that a signal may end in.
   *
   * @param name its route's, or that of a channel's fixed load
   * @param ohms its resistance
   * @param output index of the interface's output that drives it
   * @param input index of the interface's input on it
   */
  private record Load(String name, double ohms, int output, int input) {}

  /** What a load took for its drive. */
  private record Ratio(Load load, double wattsPerSquareVolt) {
    /** Into a smaller load on the same output a source of little resistance gives more. */
    double into(Load other) {
      return wattsPerSquareVolt * Math.max(1, load.ohms / other.ohms);
    }
  }

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

    /** The highest power that the step says it drives, W; 0 if it does not say. */
    double statedWatts();

    /** Tells the operator. */
    void notice(String text) throws InstrumentException;

    /** Lets bench time pass. */
    void pause(Duration duration) throws InterruptedException;
  }

  RatedAudio(AudioInterface audio, HeatBudget heat, Loads selected, Bench bench, Wait step) {
    super(audio);
    this.heat = heat;
    this.selected = selected;
    this.bench = bench;
    this.channels = new ChannelRoutes(bench);
    this.step = step;
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    double seconds = stimulus.durationSeconds();
    List<Load> loads = loads();
    double scale = selected.inputScale();
    Map<String, Heating> expected = new LinkedHashMap<>();
    for (Load load : loads) {
      add(expected, load, expected(load, drive(load, stimulus)));
    }
    for (Heating heating : expected.values()) {
      String name = heating.load.name;
      cool(name, heat.coolingBefore(name, heating.watts, seconds, step.benchNanos()));
    }
    Capture capture = beneath().exchange(stimulus);
    Map<String, Heating> taken = new LinkedHashMap<>();
    for (Load load : loads) {
      if (load.input < capture.signal().channels()) {
        double watts = meanSquare(capture.signal(), load.input) * scale * scale / load.ohms;
        add(taken, load, watts);
        double drive = drive(load, stimulus);
        if (drive > 0) {
          ratios.merge(
              load.name,
              new Ratio(load, watts / drive),
              (a, b) -> a.wattsPerSquareVolt > b.wattsPerSquareVolt ? a : b);
        }
      }
    }
    for (Heating heating : taken.values()) {
      heat.taken(heating.load.name, heating.watts, seconds, step.benchNanos());
    }
    return capture;
  }

  /** What a resistor takes, with one of the loads that lead to it. */
  private record Heating(Load load, double watts) {}

  /** Two loads that are one resistor heat it together. */
  private void add(Map<String, Heating> heatings, Load load, double watts) {
    heatings.merge(
        heat.book(load.name),
        new Heating(load, watts),
        (a, b) -> new Heating(a.load, a.watts + b.watts));
  }

  /** The power that a drive will bring, at most. */
  private double expected(Load load, double drive) {
    Ratio own = ratios.get(load.name);
    if (drive == 0 || own != null) {
      return own == null ? 0 : drive * own.wattsPerSquareVolt;
    }
    double ofOthers =
        ratios.values().stream()
            .filter(ratio -> ratio.load.output == load.output)
            .mapToDouble(ratio -> drive * ratio.into(load))
            .max()
            .orElse(0);
    return Math.max(step.statedWatts(), ofOthers);
  }

  /** Those that have a rating: the routes selected, or each channel's fixed load. */
  private List<Load> loads() {
    List<Load> loads = new ArrayList<>();
    for (Route route : selected.loads()) {
      if (heat.knows(route.name())) {
        double ohms = Objects.requireNonNull(route.load()).in(Unit.OHM);
        String channel = channels.channelOf(route);
        loads.add(
            new Load(
                route.name(),
                ohms,
                Math.max(0, ports().output(channel)),
                Math.max(0, ports().input(channel))));
      }
    }
    if (bench.fixedLoad().isPresent() && heat.knows(Bench.FIXED_LOAD)) {
      double ohms = bench.fixedLoad().get().in(Unit.OHM);
      for (AudioPort output : ports().outputs()) {
        int input = ports().input(output.name());
        if (input >= 0) {
          loads.add(
              new Load(
                  HeatBudget.fixedLoad(output.name()), ohms, ports().output(output.name()), input));
        }
      }
    }
    return loads;
  }

  private void cool(String load, Duration time) throws InstrumentException {
    if (time.isZero()) {
      return;
    }
    step.notice("load \"" + load + "\" cools for " + (time.toMillis() + 999) / 1000 + " s");
    try {
      step.pause(time);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "stopped while a load cooled", e);
    }
  }

  private static double drive(Load load, Signal stimulus) {
    return load.output < stimulus.channels() ? meanSquare(stimulus, load.output) : 0;
  }

  private static double meanSquare(Signal signal, int channel) {
    double sum = 0;
    for (int i = 0; i < signal.length(); i++) {
      double volts = signal.at(channel, i);
      sum += volts * volts;
    }
    return sum / Math.max(1, signal.length());
  }
}
