package kitproof.peers;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.locks.LockSupport;
import kitproof.document.YamlReader;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.RelayBoard;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.driver.kit.FakeMeter;
import kitproof.driver.kit.RealClock;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.limit.LimitFile;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.Publisher;
import kitproof.mqtt.Station;
import kitproof.plan.BenchReader;
import kitproof.plan.PlanReader;
import kitproof.run.Deadlines;
import kitproof.run.RunRequest;
import kitproof.run.SafeStart;
import kitproof.run.Sequencer;
import kitproof.value.Problem;
import kitproof.value.Signal;
import kitproof.value.Unit;

/**
 * A station that starts as the program does, with a recovery and a publisher, and then runs one
 * unit after another until it is killed. Its relays are bytes in a file, which stay as they are
 * when it dies, and it prints the id of each event once that is on the disk.
 */
public final class CrashVictim {
  private static final String RELAYS = "K1 K2 K3 K4 K5 K6";
  static final String MAINS_RELAY = "K1";
  static final Set<String> DRIVE_RELAYS = Set.of("K3", "K4");
  static final String LOAD_RELAY = "K5";

  /** Printed whenever a signal begins. */
  static final String PLAYS = "plays";

  /** Printed once the safe state has been commanded because of a run that was cut short. */
  static final String SAFE_START = "commanded before anything else";

  /** Printed once what the life before has left is put in order. */
  static final String IN_ORDER = "in order";

  /** Printed of each run that it has ended. */
  static final String ENDED = "recovered " + Recovery.Action.ABORTED;

  private static final long SIGNAL_NANOS = 3_000_000;

  private static int holdAfter;
  private static int said;

  private CrashVictim() {}

  /**
   * Arguments: records folder, file of the relays, beginning of its runs' names, address of the
   * broker, name of the station, how many runs to end after, and after which line that it prints it
   * waits for a byte of its input, so that whoever reads has caught up with it; 0 for never.
   */
  public static void main(String[] args) throws Exception {
    Path relays = Path.of(args[1]);
    holdAfter = Integer.parseInt(args[6]);
    RecordStore store = new RecordStore(Path.of(args[0]));
    if (!Recovery.cutShort(store.folder()).isEmpty()) { // as every command that uses a bench
      SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
      Event.SafeState state =
          SafeStart.command(
              bench(),
              Map.of("file", new Driver(relays, clock)),
              clock,
              System::nanoTime,
              Deadlines.USUAL);
      say(SAFE_START + (state.confirmed() ? "" : ", not confirmed: " + state.detail()));
    }
    for (Recovery.Recovered done : Recovery.run(store, () -> Instant.EPOCH)) {
      say("recovered " + done.action() + " " + done.run());
    }
    say(IN_ORDER);
    int runs = Integer.parseInt(args[5]);
    try (Publisher publisher = publisher(store, args[3], args[4])) {
      for (int n = 0; n < runs; n++) {
        run(store, relays, String.format(Locale.ROOT, "%s.%03dZ-LN12-001", args[2], n));
      }
      if (!publisher.close(Duration.ofSeconds(30))) {
        throw new IllegalStateException("not all is published: " + publisher.trouble());
      }
    }
  }

  /** Prints a line, on whatever thread; the one after which it is to wait holds all of them. */
  private static synchronized void say(String line) {
    System.out.println(line);
    said++;
    if (said == holdAfter) {
      try {
        var unused = System.in.read();
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }

  /** As a station's own, which goes on where the one before was killed. */
  static Publisher publisher(RecordStore store, String broker, String station) {
    return Publisher.start(
        store,
        "broker",
        new Station("attic", station),
        BrokerAddress.parse(broker),
        Credentials.NONE,
        new RealClock());
  }

  private static void run(RecordStore store, Path relays, String run) throws IOException {
    try (Journal journal = store.begin(run, () -> Instant.EPOCH)) {
      SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
      var unused =
          new Sequencer(
                  new RunRequest(
                      run,
                      "LN12-001",
                      "",
                      plan(),
                      bench(),
                      LimitFile.read("limits.yaml", LIMITS).value(),
                      Map.of(),
                      Map.of("file", new Driver(relays, clock)),
                      event -> told(journal, event),
                      clock,
                      System::nanoTime,
                      Deadlines.USUAL))
              .run();
      RecordDocument.write(store, journal.file());
    }
  }

  private static Entry told(Journal journal, Event event) throws IOException {
    Entry entry = journal.append(event);
    say(entry.id());
    return entry;
  }

  private static final String LIMITS =
      "{limits: crash, product: Linnet 12, revision: B, rule: simple acceptance,"
          + " judge: [{result: supply rise settled, low: 300 V, high: 340 V},"
          + " {result: gain, low: 25.9 dB, high: 26.1 dB},"
          + " {result: supply rise, mask: [{at: 1 s, low: 50 V}, {at: 2 s, low: 50 V}]}]}";

  private static kitproof.plan.Plan plan() {
    String plan =
        """
        plan: crash
        product: Linnet 12
        revision: B
        limits: limits.yaml
        steps:
          - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 2 s, on-fail: stop}
          - repeat: {point: [anode, cathode]}
            steps:
              - {step: rail, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv, count: 3}
          - repeat: {channel: [left], tap: [8 ohm, 4 ohm]}
            steps:
              - {step: gain, procedure: gain, power: 1 W}
        shut-down:
          - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, every: 200 ms, give-up-after: 20 s}
        """;
    return YamlReader.read("plan.yaml", plan)
        .flatMap(s -> PlanReader.read(s, Path.of("plan.yaml")))
        .value();
  }

  private static kitproof.plan.Bench bench() {
    String bench =
        "bench: crash\nroles:\n"
            + Roles.modbusRelays("unused")
                .replace("driver: relay-switcher", "driver: file")
                .replaceFirst("(?m)^ *settings: .*\n", "")
            + "  hv-meter: {driver: file, kind: meter}\n"
            + "  audio: {driver: file, kind: audio-interface}\n";
    return YamlReader.read("bench.yaml", bench).flatMap(BenchReader::read).value();
  }

  /** The relays that the file says are energised. */
  static Set<String> energised(Path file) throws IOException {
    byte[] states = java.nio.file.Files.readAllBytes(file);
    Set<String> on = new TreeSet<>();
    List<String> names = List.of(RELAYS.split(" "));
    for (int i = 0; i < Math.min(states.length, names.size()); i++) {
      if (states[i] == 1) {
        on.add(names.get(i));
      }
    }
    return on;
  }

  private record Driver(Path relays, SimulatedClock clock) implements DriverProvider {
    @Override
    public DriverDescription describe() {
      return new DriverDescription("file", "relays in a file", Set.of(), List.of());
    }

    @Override
    public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
      return settings.problems();
    }

    @Override
    public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
        throws InstrumentException {
      if (kind == InstrumentKind.AUDIO_INTERFACE) {
        return audio();
      }
      if (kind == InstrumentKind.METER) {
        long[] since = {clock.nanos()};
        double[] volts = {0};
        return new FakeMeter(new Calls(clock), "hv-meter")
            .function(
                "hv",
                Unit.VOLT,
                () -> {
                  double target = new FileBoard(relays).energised().contains("K1") ? 320 : 0;
                  double seconds = (clock.nanos() - since[0]) / 1e9;
                  since[0] = clock.nanos();
                  volts[0] = target + (volts[0] - target) * Math.exp(-seconds / 0.4);
                  return volts[0];
                });
      }
      FileBoard board = new FileBoard(relays);
      say("found " + board.energised());
      Instrument switcher = RouteSwitcher.open(board, context.routes(), clock);
      say("safe " + board.energised());
      return switcher;
    }

    /** An amplifier of a gain of 20 behind an interface, whose signals take some real time. */
    private FakeAudioInterface audio() {
      List<AudioPort> stereo = List.of(new AudioPort("left", 10), new AudioPort("right", 10));
      return new FakeAudioInterface(
          new Calls(clock),
          "audio",
          new AudioPorts(48_000, stereo, stereo),
          stimulus -> {
            say(PLAYS);
            LockSupport.parkNanos(SIGNAL_NANOS);
            return amplified(stimulus);
          });
    }

    private static Signal amplified(Signal stimulus) {
      double[][] volts = new double[stimulus.channels()][];
      for (int c = 0; c < volts.length; c++) {
        volts[c] = stimulus.channel(c);
        for (int i = 0; i < volts[c].length; i++) {
          volts[c][i] *= 20;
        }
      }
      return Signal.of(stimulus.sampleRateHz(), volts);
    }
  }

  private record FileBoard(Path file) implements RelayBoard {
    @Override
    public Identity identity() {
      return new Identity("", "relays in a file", "", "");
    }

    @Override
    public void set(Map<String, Boolean> wanted) throws InstrumentException {
      List<String> names = List.of(RELAYS.split(" "));
      try (FileChannel channel =
          FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.WRITE)) {
        for (Map.Entry<String, Boolean> relay : wanted.entrySet()) {
          byte state = (byte) (Boolean.TRUE.equals(relay.getValue()) ? 1 : 0);
          channel.write(ByteBuffer.wrap(new byte[] {state}), names.indexOf(relay.getKey()));
        }
      } catch (IOException e) {
        throw new InstrumentException(InstrumentException.Kind.OTHER, "the relays' file", e);
      }
    }

    @Override
    public Set<String> energised() {
      try {
        return java.nio.file.Files.exists(file) ? CrashVictim.energised(file) : Set.of();
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }

    @Override
    public void close() {}
  }
}
