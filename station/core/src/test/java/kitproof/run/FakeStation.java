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
import kitproof.driver.DriverProvider;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.driver.RelayBoard;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.driver.kit.FakeDriver;
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
import kitproof.value.Signal;
import kitproof.value.Unit;

/**
 * A whole station of fakes around one amplifier of a formula: gain 20, rail to 330 V in a second,
 * from there to nothing with 2 s. Everything it saw is kept.
 */
final class FakeStation {
  static final String PLAN = SmallFiles.PLAN;
  static final String BENCH = SmallFiles.BENCH;
  static final String LIMITS = SmallFiles.LIMITS;

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
  UnaryOperator<Bench> standing = UnaryOperator.identity();
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

  /** Whether interlocks and readings have their turns while something is played. */
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

  private Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    switch (kind) {
      case METER:
        meter.function("hv", Unit.VOLT, this::rail);
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
                calls, "audio", new AudioPorts(48_000, out, in), s -> amplifier.apply(s));
        audio = soundTakesTime ? audio.passing(context.clock()) : audio;
        return line.on(AudioInterface.class, "audio", audio);
    }
  }

  Bench bench() {
    return standing.apply(YamlReader.read("bench.yaml", bench).flatMap(BenchReader::read).value());
  }

  Plan plan() {
    return change.apply(
        YamlReader.read("plan.yaml", plan)
            .flatMap(source -> PlanReader.read(source, Path.of("plan.yaml")))
            .value());
  }

  Map<String, DriverProvider> drivers() {
    return Map.of("fake", new FakeDriver("fake", this::open));
  }

  RunRequest request() {
    return new RunRequest(
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
        deadlines);
  }

  Sequencer sequencer() {
    return new Sequencer(request());
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
