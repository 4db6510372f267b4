package kitproof.run;

import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.BenchContext;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.RelayBoard;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.driver.kit.FakeDriver;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import org.jspecify.annotations.Nullable;

/**
 * Runs a plan with the real sequencer on boards whose relays move one at a time, in an order made
 * by chance, and looks at each arrangement by {@link RelayRules}.
 */
final class TracedBench {
  private static final LimitFile LIMITS =
      LimitFile.read(
              "limits.yaml",
              "{limits: made, product: Linnet 12, revision: B, rule: simple acceptance,"
                  + " judge: [{result: rise, low: 1 V}]}")
          .value();

  private final Bench bench;
  private final Plan plan;
  private final Random order;
  private final InterruptingClock clock = new InterruptingClock();
  private final Set<String> on = new TreeSet<>();
  private final RelayRules rules;
  private int failAtCall = -1;
  private int stopAtCall = -1;
  private int calls;
  private final Map<String, List<Integer>> callsIn = new LinkedHashMap<>();
  private volatile String brokenOffIn = "";
  private Duration signal = Duration.ZERO;
  private @Nullable Thread runner;
  private volatile @Nullable Thread operator;
  private volatile boolean stopCounted;
  private volatile boolean failed;
  private final List<String> steps = new ArrayList<>();
  private String rise = "rise";
  private @Nullable Sequencer sequencer;
  private String breakIn = "";
  private boolean badRise;
  private String step = "";
  private String reason = "";

  TracedBench(Bench bench, Plan plan, long seed) {
    this.bench = bench;
    this.plan = plan;
    this.rules = new RelayRules(bench, on);
    this.order = new Random(seed);
  }

  /** The n-th call of a board fails without effect. */
  TracedBench failAt(int call) {
    failAtCall = call;
    return this;
  }

  /** This step fails in its middle, at one of its signals; chance may spare it. */
  TracedBench breakIn(String name) {
    breakIn = name;
    return this;
  }

  /** The rise is measured, and judged bad. */
  TracedBench badRise() {
    badRise = true;
    return this;
  }

  /** In which step the rise is judged. */
  TracedBench riseIn(String name) {
    rise = name;
    return this;
  }

  /** The operator stops the run at the n-th call of a board, from a thread of its own. */
  TracedBench stopAt(int call) {
    stopAtCall = call;
    return this;
  }

  /** What is driven takes so long. */
  TracedBench signalsTake(Duration bench) {
    signal = bench;
    return this;
  }

  /**
   * The operator stops the run at this instant of bench time. Time stands still until he has,
   * unless relays are just settling: what he asks of them waits for that.
   */
  TracedBench stopAt(Duration instant) {
    clock.at(
        instant.toNanos(),
        () -> {
          Thread asking = stop();
          if (asking != null && Thread.currentThread() == runner) {
            asking.join();
          }
        });
    return this;
  }

  /** Asks on a thread of its own; null if there is no run yet. */
  private @Nullable Thread stop() {
    Sequencer running = sequencer;
    if (running == null) {
      return null;
    }
    Thread asking =
        new Thread(() -> stopCounted = running.stop("stopped by the operator"), "operator");
    operator = asking;
    asking.setDaemon(true);
    asking.start();
    return asking;
  }

  /** Bench time that has passed. */
  Duration took() {
    return Duration.ofNanos(clock.nanos());
  }

  /** Whether every relay was at rest in the end. */
  boolean atRest() {
    return on.isEmpty();
  }

  /** Whether the operator was told that the stop counts; waits until he has been told anything. */
  boolean stopCounted() throws InterruptedException {
    Thread asking = operator;
    if (asking != null) {
      asking.join();
    }
    return stopCounted;
  }

  /** Whether the call that was to fail came at all. */
  boolean failed() {
    return failed;
  }

  /** Every step that began. */
  List<String> steps() {
    return steps;
  }

  int calls() {
    return calls;
  }

  /** The numbers of the calls that came in each step; "" for those before the first. */
  Map<String, List<Integer>> callsIn() {
    return callsIn;
  }

  /** In which step the call came at which the run was stopped or failed; empty if in none. */
  String brokenOffIn() {
    return brokenOffIn;
  }

  /** Why it ended as it did. */
  String reason() {
    return reason;
  }

  /** What went against the rules, each with the step in which it did. */
  List<String> violations() {
    return rules.violations();
  }

  Verdict run() throws IOException {
    runner = Thread.currentThread();
    MadeProcedure.RISE.set(badRise ? 0.0 : 300.0);
    MadeProcedure.CHANCE.set(order);
    MadeProcedure.MIDDLE.set(
        (settings, b) -> {
          if (settings.drives()) {
            rules.everyOutputLoaded("a signal");
            b.pause(signal);
            rules.everyOutputLoaded("a signal");
          }
          if (step.equals(breakIn)
              && order.nextInt(3) == 0) { // before, within or after an exchange
            throw new InstrumentException(InstrumentException.Kind.OTHER, "broken off");
          }
        });
    try {
      sequencer =
          new Sequencer(
              new RunRequest(
                  "run",
                  "LN12-001",
                  "",
                  plan,
                  bench,
                  LIMITS,
                  Map.of(),
                  Map.of("made", new FakeDriver("made", this::open)),
                  this::keep,
                  clock,
                  System::nanoTime,
                  FakeStation.LONG));
      return sequencer.run();
    } finally {
      MadeProcedure.MIDDLE.remove();
      MadeProcedure.RISE.remove();
      MadeProcedure.CHANCE.remove();
    }
  }

  private Entry keep(Event event) {
    if (event instanceof Event.StepStarted started) {
      step = started.step();
      synchronized (on) {
        rules.begin(step, !failed);
      }
      steps.add(step);
    }
    if (event instanceof Event.StepFinished finished
        && finished.step().equals(rise)
        && finished.outcome() == StepOutcome.PASSED) {
      rules.risen();
    }
    if (event instanceof Event.RunEnded end) {
      reason = end.reason();
    }
    return new Entry("run", 0, clock.now(), event);
  }

  private Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    Bench.Role role =
        bench.roles().values().stream()
            .filter(r -> r.routes().equals(context.routes()))
            .findFirst()
            .orElseThrow();
    return RouteSwitcher.open(new Board(role.name()), context.routes(), clock);
  }

  /** Asked by several threads at once: several boards are made safe side by side. */
  private final class Board implements RelayBoard {
    private final String role;

    Board(String role) {
      this.role = role;
    }

    private void enter() throws InstrumentException {
      calls++;
      callsIn.computeIfAbsent(step, none -> new ArrayList<>()).add(calls);
      if (calls == stopAtCall) {
        brokenOffIn = step;
        var unused = stop();
      }
      if (calls == failAtCall) {
        brokenOffIn = step;
        failed = true;
        throw new InstrumentException(InstrumentException.Kind.TIMEOUT, "scripted");
      }
    }

    @Override
    public Identity identity() {
      return new Identity("", "made", role, "");
    }

    @Override
    public void set(Map<String, Boolean> wanted) throws InstrumentException {
      synchronized (on) {
        move(wanted);
      }
    }

    private void move(Map<String, Boolean> wanted) throws InstrumentException {
      enter();
      List<String> relays = new ArrayList<>(wanted.keySet());
      Collections.shuffle(relays, order);
      for (String relay : relays) {
        boolean energised = Boolean.TRUE.equals(wanted.get(relay));
        boolean driven = rules.isDriven();
        boolean changed = energised ? on.add(role + relay) : on.remove(role + relay);
        if (changed) {
          rules.look();
          rules.moved(role, relay, energised, driven && !failed);
        }
      }
    }

    @Override
    public Set<String> energised() throws InstrumentException {
      synchronized (on) {
        enter();
        Set<String> mine = new TreeSet<>();
        on.stream()
            .filter(k -> k.startsWith(role))
            .forEach(k -> mine.add(k.substring(role.length())));
        return mine;
      }
    }

    @Override
    public void close() {}
  }
}
