package kitproof.run;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.LongSupplier;
import java.util.function.UnaryOperator;
import kitproof.document.YamlReader;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.BenchClock;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.driver.RelayBoard;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.driver.kit.FakeMeter;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.EventSink;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.LimitFile;
import kitproof.operator.Desk;
import kitproof.operator.PersonDriver;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.value.Problem;
import kitproof.value.Signal;
import kitproof.value.Unit;

/**
 * A whole station of fakes around one amplifier of a formula: gain 20, rail to 330 V in a second,
 * from there to nothing with 2 s. Everything it saw is kept.
 */
final class FakeStation {
  static final String PLAN =
      """
      plan: small plan
      product: Linnet 12
      revision: B
      limits: limits.yaml
      steps:
        - step: first power
          procedure: supply-rise
          meter: hv-meter
          function: hv
          watch: 4 s
          on-fail: stop
        - step: rail
          procedure: reading
          mains: direct
          wait: 2 s
          meter: hv-meter
          function: hv
          result: hv
          count: 2
        - repeat: {channel: [left, right], tap: [4 ohm, 8 ohm]}
          steps:
            - {step: gain, procedure: gain, power: 1 W}
        - step: distortion
          procedure: distortion
          conditions: {channel: left, tap: 8 ohm, mode: triode}
          power: 1 W
          harmonics: 3
          listen: 40 ms
      shut-down:
        - step: discharge
          procedure: discharge
          meter: hv-meter
          function: hv
          safe: 30 V
          every: 500 ms
      """;

  static final String BENCH =
      """
      bench: bench of fakes
      roles:
        relays:
          driver: fake
          kind: switcher
          routes:
            mains off:       {group: mains, purpose: mains-off}
            mains limited:   {group: mains, purpose: mains-limited, relays: [K1]}
            mains direct:    {group: mains, purpose: mains-direct, relays: [K1, K2]}
            drive muted:     {group: drive, purpose: mute}
            drive left:      {group: drive, purpose: drive, relays: [K3], when: {channel: left}}
            drive right:     {group: drive, purpose: drive, relays: [K4], when: {channel: right}}
            left 8 ohm tap:  {group: left load, purpose: load, load: 8.02 ohm, relays: [K5], when: {channel: left, tap: 8 ohm}}
            left 4 ohm tap:  {group: left load, purpose: load, load: 4.01 ohm, relays: [K6], when: {channel: left, tap: 4 ohm}}
            right 8 ohm tap: {group: right load, purpose: load, load: 8.01 ohm, when: {channel: right, tap: 8 ohm}}
            right 4 ohm tap: {group: right load, purpose: load, load: 3.99 ohm, relays: [K7], when: {channel: right, tap: 4 ohm}}
            left 16 ohm tap: {group: left load, purpose: load, load: 16 ohm, when: {channel: left, tap: 16 ohm}}
            left other load: {group: left load, purpose: load, load: 2 ohm, relays: [K9]}
            ultralinear:     {group: mode, when: {mode: ultralinear}}
            triode:          {group: mode, relays: [K8], when: {mode: triode}}
        hv-meter:
          driver: fake
          kind: meter
        audio:
          driver: fake
          kind: audio-interface
      """;

  static final String LIMITS =
      """
      limits: small limits
      product: Linnet 12
      revision: B
      rule: simple acceptance
      judge:
        - {result: supply rise settled, low: 300 V, high: 340 V}
        - {result: hv, low: 300 V, high: 340 V}
        - {result: gain, low: 25.9 dB, high: 26.1 dB}
        - {result: thd, high: 0.1 %}
        - {result: discharge time constant, low: 1.9 s, high: 2.1 s}
      """;

  static final Deadlines LONG =
      new Deadlines(
          Duration.ofSeconds(30),
          Duration.ofSeconds(30),
          Duration.ofSeconds(30),
          Duration.ofSeconds(60));

  final SimulatedClock clock = new SimulatedClock(Instant.parse("2026-11-25T10:15:00Z"));
  final Calls calls = new Calls(clock);
  final Hook.Line line;
  final List<Event> events = new ArrayList<>();
  String plan = PLAN;
  String bench = BENCH;
  String limits = LIMITS;
  UnaryOperator<Plan> change = UnaryOperator.identity();
  UnaryOperator<Signal> amplifier = FakeStation::timesTwenty;
  Deadlines deadlines = LONG;
  LongSupplier ticker = System::nanoTime;
  EventSink sink = this::keep;
  final Desk desk = new Desk();
  double railTarget = 330;
  FakeRelayBoard board = new FakeRelayBoard(calls, "relays", Set.of());
  FakeMeter meter = new FakeMeter(calls, "hv-meter");
  FakeAudioInterface audio = FakeAudioInterface.loop(calls, "audio");

  /** How long a reading takes, in bench time. */
  Duration readingTime = Duration.ZERO;

  /** Whether the time of what is played passes. */
  boolean soundTakesTime;

  /** From this bench time on the rail, while mains is on, is far too high. */
  long excursionFrom = Long.MAX_VALUE;

  /** Whether the rail has been too high. */
  boolean excursionSeen;

  /** From this bench time on the meter fails. */
  long meterGoneFrom = Long.MAX_VALUE;

  /** From this bench time on the meter has no number to give. */
  long noNumberFrom = Long.MAX_VALUE;

  /** How many changes of the relays there had been when the rise was judged good. */
  int movesBeforeRise = Integer.MAX_VALUE;

  private double rail;
  private long railNanos;

  FakeStation() {
    this(Hook.NONE);
  }

  FakeStation(Hook hook) {
    this.line = new Hook.Line(hook);
  }

  static Signal timesTwenty(Signal stimulus) {
    double[][] out = new double[stimulus.channels()][];
    for (int i = 0; i < out.length; i++) {
      out[i] = stimulus.channel(i);
      for (int n = 0; n < out[i].length; n++) {
        out[i][n] *= 20;
      }
    }
    return Signal.of(stimulus.sampleRateHz(), out);
  }

  synchronized Entry keep(Event event) {
    if (event instanceof Event.StepFinished step
        && step.step().equals("first power")
        && step.outcome() == StepOutcome.PASSED) {
      movesBeforeRise = board.moments().size();
    }
    events.add(event);
    return new Entry("run", events.size() - 1, clock.now(), event);
  }

  synchronized double rail() {
    double target = board.now().contains("K1") ? railTarget : 0;
    double seconds = (clock.nanos() - railNanos) / 1e9;
    rail = target + (rail - target) * Math.exp(-seconds / (target > 0 ? 0.5 : 2));
    railNanos = clock.nanos();
    boolean high = target > 0 && clock.nanos() >= excursionFrom;
    excursionSeen |= high;
    return high ? rail + 500 : rail;
  }

  private Signal played(Signal stimulus, BenchClock time) {
    if (soundTakesTime) {
      try {
        time.sleep(Duration.ofNanos(Math.round(stimulus.durationSeconds() * 1e9)));
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt(); // what comes back is of no use any more
      }
    }
    return amplifier.apply(stimulus);
  }

  /** The meter, whose readings show the rail as it is at their end. */
  private final class TakingTime implements Meter {
    private final FakeMeter readAtOnce;
    private final BenchClock time;

    TakingTime(FakeMeter readAtOnce, BenchClock time) {
      this.readAtOnce = readAtOnce;
      this.time = time;
    }

    @Override
    public Identity identity() {
      return readAtOnce.identity();
    }

    @Override
    public List<MeterFunction> functions() {
      return readAtOnce.functions();
    }

    @Override
    public Reading read(String function) throws InstrumentException {
      try {
        time.sleep(readingTime);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        throw new InstrumentException(InstrumentException.Kind.OTHER, "interrupted", e);
      }
      if (time.nanos() >= meterGoneFrom) {
        throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, "gone");
      }
      Reading reading = readAtOnce.read(function);
      return time.nanos() >= noNumberFrom ? new Reading.NotANumber() : reading;
    }

    @Override
    public void recognise() throws InstrumentException {
      readAtOnce.recognise();
    }

    @Override
    public void makeSafe() throws InstrumentException {
      readAtOnce.makeSafe();
    }

    @Override
    public void close() throws InstrumentException {
      readAtOnce.close();
    }
  }

  private final class Driver implements DriverProvider {
    @Override
    public DriverDescription describe() {
      return new DriverDescription("fake", "fakes", Set.of(InstrumentKind.values()), List.of());
    }

    @Override
    public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
      return settings.problems();
    }

    @Override
    public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
        throws InstrumentException {
      switch (kind) {
        case METER:
          meter.function("hv", Unit.VOLT, FakeStation.this::rail);
          return line.on(Meter.class, "hv-meter", new TakingTime(meter, context.clock()));
        case SWITCHER:
          board = FakeRelayBoard.of(calls, "relays", context.routes());
          return RouteSwitcher.open(
              line.on(RelayBoard.class, "relays", board), context.routes(), context.clock());
        case OPERATOR:
          return new PersonDriver(desk).open(kind, settings, context);
        default:
          List<AudioPort> in = List.of(new AudioPort("left", 60), new AudioPort("right", 60));
          List<AudioPort> out = List.of(new AudioPort("left", 3), new AudioPort("right", 3));
          audio =
              new FakeAudioInterface(
                  calls, "audio", new AudioPorts(48_000, out, in), s -> played(s, context.clock()));
          return line.on(AudioInterface.class, "audio", audio);
      }
    }
  }

  Bench bench() {
    return YamlReader.read("bench.yaml", bench).flatMap(BenchReader::read).value();
  }

  Plan plan() {
    return change.apply(
        YamlReader.read("plan.yaml", plan)
            .flatMap(source -> PlanReader.read(source, Path.of("plan.yaml")))
            .value());
  }

  Map<String, DriverProvider> drivers() {
    return Map.of("fake", new Driver());
  }

  Sequencer sequencer() {
    return new Sequencer(
        new RunRequest(
            "run",
            "LN12-001",
            "",
            plan(),
            bench(),
            LimitFile.read("limits.yaml", limits).value(),
            Map.of(),
            drivers(),
            event -> sink.append(event),
            clock,
            ticker,
            deadlines));
  }

  Verdict run() throws IOException {
    return sequencer().run();
  }

  <E extends Event> List<E> events(Class<E> type) {
    synchronized (this) {
      return events.stream().filter(type::isInstance).map(type::cast).toList();
    }
  }

  StepOutcome outcome(String step) {
    return events(Event.StepFinished.class).stream()
        .filter(e -> e.step().equals(step))
        .findFirst()
        .orElseThrow()
        .outcome();
  }

  List<String> outcomes() {
    return events(Event.StepFinished.class).stream().map(Event.StepFinished::step).toList();
  }
}
