package kitproof.peers;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.UnaryOperator;
import kitproof.document.YamlReader;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.BenchClock;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.driver.kit.FakeMeter;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.journal.Follower;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.limit.LimitFile;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.run.Deadlines;
import kitproof.run.RunRequest;
import kitproof.run.Sequencer;
import kitproof.screen.PlanFacts;
import kitproof.value.Problem;
import kitproof.value.Signal;
import kitproof.value.Unit;

/** A run on fakes with a real journal, whose clock, plan or onlooker is another than usual. */
final class FaultBench {
  private static final String PLAN =
      """
      plan: faults
      product: Linnet 12
      revision: B
      limits: limits.yaml
      steps:
        - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 4 s, on-fail: stop}
        - {step: rail, procedure: reading, mains: direct, wait: 2 s, meter: hv-meter, function: hv, result: hv, on-fail: stop}
        - {step: gain, procedure: gain, conditions: {channel: left, tap: 4 ohm}, power: 1 W, on-fail: stop}
      shut-down:
        - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, every: 500 ms}
      """;

  private static final String LIMITS =
      """
      limits: faults
      product: Linnet 12
      revision: B
      rule: simple acceptance
      judge:
        - {result: supply rise settled, low: 300 V, high: 340 V}
        - {result: supply rise, mask: [{at: 1500 ms, low: 50 V}, {at: 4 s, low: 50 V}]}
        - {result: hv, low: 300 V, high: 340 V}
        - {result: gain, low: 25.9 dB, high: 26.1 dB}
      """;

  private final RecordStore store;
  private final SimulatedClock simulated = new SimulatedClock(Instant.EPOCH);
  final Calls calls = new Calls(simulated);
  BenchClock clock = simulated;

  UnaryOperator<Plan> plan = UnaryOperator.identity();
  Onlooker onlooker = (follower, facts) -> follower.close();
  FakeRelayBoard board = new FakeRelayBoard(calls, "relays", Set.of());
  private double rail;
  private long railNanos;

  /** Who is told of the run from its beginning. */
  interface Onlooker {
    /**
     * A run begins.
     *
     * @param follower of its journal, which the onlooker closes
     */
    void watch(Follower follower, PlanFacts facts) throws IOException;
  }

  FaultBench(Path folder) throws IOException {
    this.store = new RecordStore(folder.resolve("records"));
  }

  private synchronized double rail() {
    double target = board.now().contains("K1") ? 330 : 0;
    double seconds = (simulated.nanos() - railNanos) / 1e9;
    rail = target + (rail - target) * Math.exp(-seconds / (target > 0 ? 0.5 : 2));
    railNanos = simulated.nanos();
    return rail;
  }

  /** Runs to the end and reads the record back from the disk. */
  RunRecord run(String name) throws IOException {
    Plan wanted =
        plan.apply(
            YamlReader.read("plan.yaml", PLAN)
                .flatMap(s -> PlanReader.read(s, Path.of("plan.yaml")))
                .value());
    LimitFile limits = LimitFile.read("limits.yaml", LIMITS).value();
    try (Journal journal = store.begin(name, clock::now)) {
      onlooker.watch(store.follow(journal.file()), new PlanFacts(wanted, limits));
      var unused =
          new Sequencer(
                  new RunRequest(
                      name,
                      "LN12-001",
                      "",
                      wanted,
                      YamlReader.read("bench.yaml", "bench: faults\n" + roles())
                          .flatMap(BenchReader::read)
                          .value(),
                      limits,
                      Map.of(),
                      Map.of("fault", new Driver()),
                      journal,
                      clock,
                      System::nanoTime,
                      Deadlines.USUAL))
              .run();
      return RecordDocument.read(RecordDocument.write(store, journal.file()));
    }
  }

  private static String roles() {
    String relays = Roles.modbusRelays("unused");
    return "roles:\n"
        + relays
            .replace("driver: relay-switcher", "driver: fault")
            .replaceFirst("(?m)^ *settings: .*\n", "")
        + "  hv-meter: {driver: fault, kind: meter}\n"
        + "  audio: {driver: fault, kind: audio-interface}\n";
  }

  private static Signal timesTwenty(Signal stimulus) {
    double[][] out = new double[stimulus.channels()][];
    for (int i = 0; i < out.length; i++) {
      out[i] = stimulus.channel(i);
      for (int n = 0; n < out[i].length; n++) {
        out[i][n] *= 20;
      }
    }
    return Signal.of(stimulus.sampleRateHz(), out);
  }

  private final class Driver implements DriverProvider {
    @Override
    public DriverDescription describe() {
      return new DriverDescription("fault", "faulty", Set.of(InstrumentKind.values()), List.of());
    }

    @Override
    public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
      return settings.problems();
    }

    @Override
    public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
        throws InstrumentException {
      if (kind == InstrumentKind.METER) {
        FakeMeter meter = new FakeMeter(calls, "hv-meter");
        meter.function("hv", Unit.VOLT, FaultBench.this::rail);
        return meter;
      }
      if (kind == InstrumentKind.SWITCHER) {
        board = FakeRelayBoard.of(calls, "relays", context.routes());
        return RouteSwitcher.open(board, context.routes(), clock);
      }
      List<AudioPort> in = List.of(new AudioPort("left", 60), new AudioPort("right", 60));
      List<AudioPort> out = List.of(new AudioPort("left", 3), new AudioPort("right", 3));
      AudioPorts ports = new AudioPorts(48_000, out, in);
      return new FakeAudioInterface(calls, "audio", ports, FaultBench::timesTwenty);
    }
  }
}
