package kitproof.run;

import java.io.IOException;
import java.time.Duration;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.procedure.StationResidual;
import kitproof.procedure.StationSpur;
import kitproof.procedure.StepBench;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Signal;
import org.jspecify.annotations.Nullable;

/** The bench as a step sees it that is done again on its captures. */
final class ReplayBench implements StepBench {
  private final Conditions conditions;
  private final Bench bench;
  private final List<Measurement> earlier;
  private final List<Replay.Kept> captures;
  private int used;

  ReplayBench(
      Conditions conditions, Bench bench, List<Measurement> earlier, List<Replay.Kept> captures) {
    this.conditions = conditions;
    this.bench = bench;
    this.earlier = List.copyOf(earlier);
    this.captures = List.copyOf(captures);
  }

  /** More were taken than the procedure asks for now: then these are not its figures. */
  void requireAllUsed() throws InstrumentException {
    if (used < captures.size()) {
      throw other(
          "the step asks for " + used + " captures, but " + captures.size() + " were taken in it");
    }
  }

  private static InstrumentException other(String why) {
    return new InstrumentException(InstrumentException.Kind.OTHER, why);
  }

  private static InstrumentException notKept(String what) {
    return other(what + ", which is not in captures");
  }

  /** The one that comes next, or the last one. */
  private Replay.Kept current() throws InstrumentException {
    if (captures.isEmpty()) {
      throw other("no capture of this step was kept");
    }
    return captures.get(Math.min(used, captures.size() - 1));
  }

  @Override
  public Conditions conditions() {
    return conditions;
  }

  @Override
  public Meter meter(String role) throws InstrumentException {
    throw notKept("the step reads a meter, \"" + role + "\"");
  }

  @Override
  public <T> Beside<T> readWhilePlaying(
      String meter, String function, Duration from, Duration every, Work<T> work)
      throws InstrumentException {
    throw notKept("the step reads a meter, \"" + meter + "\"");
  }

  @Override
  public Operator operator(String role) throws InstrumentException {
    throw notKept("the step asks a person, \"" + role + "\"");
  }

  @Override
  public AudioInterface audio(String role) throws InstrumentException {
    Replay.Kept first = current();
    AudioInterface kept = new KeptInterface(role, first.ports());
    return first.corrections() == null
        ? kept
        : new CorrectedAudio(
            kept, role, first.corrections(), new RangeRoutes(bench).all(), this::rangeNow);
  }

  /** The input range of the capture that comes next; null on a bench without. */
  private @Nullable Route rangeNow() {
    String range = captures.get(Math.min(used, captures.size() - 1)).range();
    return new RangeRoutes(bench)
        .all().stream().filter(route -> route.name().equals(range)).findFirst().orElse(null);
  }

  /** Gives captures back in the order in which they were taken. */
  private final class KeptInterface implements AudioInterface {
    private final String role;
    private final AudioPorts ports;

    KeptInterface(String role, AudioPorts ports) {
      this.role = role;
      this.ports = ports;
    }

    @Override
    public Identity identity() {
      return new Identity("", "kept captures of " + role, "", "");
    }

    @Override
    public AudioPorts ports() {
      return ports;
    }

    @Override
    public Capture exchange(Signal stimulus) throws InstrumentException {
      if (used == captures.size()) {
        throw other(
            "the step asks for more than the "
                + captures.size()
                + " captures that were taken in it");
      }
      Replay.Kept kept = captures.get(used);
      if (!kept.range().isEmpty()) {
        var unused =
            new RangeRoutes(bench).named(kept.range()); // or the bench has none of its name
      }
      used++;
      Capture capture;
      try {
        capture = kept.reader().read();
      } catch (IOException e) {
        throw new InstrumentException(
            InstrumentException.Kind.OTHER, String.valueOf(e.getMessage()), e);
      }
      Signal signal = capture.signal();
      if (!kept.role().equals(role)
          || signal.length() != stimulus.length()
          || signal.sampleRateHz() != stimulus.sampleRateHz()) {
        throw other(
            "the step plays another signal than it did when capture "
                + used
                + " was taken: its settings or the program have changed");
      }
      return capture;
    }

    @Override
    public void makeSafe() {} // nothing is there

    @Override
    public void close() {}
  }

  @Override
  public Quantity load(String channel) throws InstrumentException {
    Quantity load = current().loads().get(channel);
    if (load == null) {
      throw other("no load " + channel + " was there");
    }
    return load;
  }

  /**
   * The only load route that connects what was there, or the fixed load; empty if that is unsure.
   */
  @Override
  public String loadRoute(String channel) {
    List<Route> fitting;
    try {
      Quantity load = load(channel);
      ChannelRoutes channels = new ChannelRoutes(bench);
      fitting =
          bench.routes().stream()
              .filter(route -> load.equals(route.load()))
              .filter(route -> channel.isEmpty() || fits(channels.channelOf(route), channel))
              .toList();
    } catch (InstrumentException e) {
      return "";
    }
    return fitting.size() == 1
        ? fitting.get(0).name()
        : bench.fixedLoad().isPresent() ? Bench.FIXED_LOAD : "";
  }

  private static boolean fits(String of, String channel) {
    return of.isEmpty() || of.equals(channel);
  }

  @Override
  public Optional<Quantity> loadPerKelvin(String route) {
    return bench.loadPerKelvin(route);
  }

  @Override
  public Optional<Calibration> calibration() {
    Replay.Kept kept =
        captures.isEmpty() ? null : captures.get(Math.min(used, captures.size() - 1));
    return kept == null ? Optional.empty() : Optional.ofNullable(kept.corrections());
  }

  @Override
  public List<InputRange> inputRanges() {
    return new RangeRoutes(bench)
        .all().stream()
            .map(r -> new InputRange(r.name(), Objects.requireNonNull(r.fullScale())))
            .toList();
  }

  @Override
  public void selectInputRange(InputRange range) {} // the captures were taken in it

  @Override
  public Optional<StationResidual> residual() {
    return bench.residual();
  }

  @Override
  public List<StationSpur> spurs() {
    return bench.spurs();
  }

  @Override
  public <T> T rerouted(List<String> routes, Work<T> work)
      throws InstrumentException, InterruptedException {
    return work.run();
  }

  @Override
  public List<Measurement> earlier() {
    return earlier;
  }

  @Override
  public void mains(Route.Purpose purpose) throws InstrumentException {
    throw notKept("the step switches the mains");
  }

  @Override
  public boolean sample(String result, Quantity at, Quantity value) {
    return true;
  }

  @Override
  public void breakOff(String why) throws InstrumentException {
    throw other("the step breaks off: " + why);
  }

  @Override
  public void discharged(String evidence) throws InstrumentException {
    throw notKept("the step proves a discharge");
  }

  @Override
  public void notShownDischarged(String why) throws InstrumentException {
    throw notKept("the step looks for a discharge");
  }

  @Override
  public Duration elapsed() {
    return Duration.ZERO;
  }

  @Override
  public void pause(Duration duration) {} // nothing has to settle

  @Override
  public void answered(Question question, Answer answer) {}

  @Override
  public void stop(String reason) {}

  @Override
  public void notice(String text) {} // it was told then
}
