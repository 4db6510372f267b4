package kitproof.cli;

import java.io.IOException;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Proxy;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CopyOnWriteArrayList;
import kitproof.driver.BenchClock;
import kitproof.driver.DriverProvider;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.SimulatedClock;
import kitproof.driver.Switcher;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.plan.Plan;
import kitproof.procedure.ReferenceUnit;
import kitproof.run.Deadlines;
import kitproof.run.References;
import kitproof.run.RunRequest;
import kitproof.run.Sequencer;
import kitproof.value.AgainstUnit;
import org.jspecify.annotations.Nullable;

/**
 * A run on the simulated bench that the operator stops so long after a step has begun. Whenever
 * relays settle, what they then select is kept: a trace of its own, by which rules are asserted
 * that share no code with the station.
 */
final class InterruptedRun {
  /** Without one, the steps beside the reference would be left out, and not be begun. */
  private static final References OTHER =
      References.of(
          Map.of(
              AgainstUnit.NAMED,
              new ReferenceUnit(
                  "LN12-999", "Linnet 12", "B", "other", 1, "sha256:0", false, List.of())),
          List.of());

  final List<Event> events = new CopyOnWriteArrayList<>();
  final List<String> violations = new ArrayList<>();

  private final Prepared prepared;
  private final Plan plan;
  private final Map<String, DriverProvider> drivers;
  private final Clock clock = new Clock();
  private final Thread runner = Thread.currentThread();
  private final Map<String, Route.Purpose> purposes = new HashMap<>();
  private final int target;
  private final Duration after;
  private @Nullable Sequencer sequencer;
  private volatile @Nullable Switcher relays;
  private Set<String> before = Set.of();

  /**
   * Not begun yet.
   *
   * @param target the index of the step in the plan
   * @param after bench time from its beginning to the stop
   */
  InterruptedRun(
      Prepared prepared,
      Plan plan,
      Map<String, DriverProvider> drivers,
      int target,
      Duration after) {
    this.prepared = prepared;
    this.plan = plan;
    this.target = target;
    this.after = after;
    this.drivers = new HashMap<>();
    drivers.forEach((id, driver) -> this.drivers.put(id, seen(driver)));
    prepared.bench().routes().forEach(route -> purposes.put(route.name(), route.purpose()));
  }

  /** Keeps the switcher that it opens. */
  private DriverProvider seen(DriverProvider driver) {
    return (DriverProvider)
        Proxy.newProxyInstance(
            DriverProvider.class.getClassLoader(),
            new Class<?>[] {DriverProvider.class},
            (proxy, method, arguments) -> {
              try {
                Object result = method.invoke(driver, arguments);
                if (result instanceof Switcher switcher) {
                  relays = switcher;
                }
                return result;
              } catch (InvocationTargetException e) {
                throw e.getCause();
              }
            });
  }

  Verdict run() throws IOException {
    sequencer =
        new Sequencer(
            new RunRequest(
                    "run",
                    "LN12-001",
                    "",
                    plan,
                    prepared.bench(),
                    prepared.limits(),
                    Map.of(),
                    drivers,
                    this::keep,
                    clock,
                    System::nanoTime,
                    Deadlines.USUAL)
                .comparedWith(OTHER));
    return sequencer.run();
  }

  private Entry keep(Event event) {
    events.add(event);
    if (event instanceof Event.StepStarted step && step.index() == target) {
      if (after.isZero()) {
        stop();
      } else {
        clock.at = clock.nanos() + after.toNanos();
      }
    }
    return new Entry("run", events.size(), clock.now(), event);
  }

  /** As an operator does, from a thread of his own, while the run goes on. */
  private void stop() {
    Sequencer running = sequencer;
    if (running == null) {
      return;
    }
    Thread operator =
        new Thread(
            () -> {
              var unused = running.stop("stopped by the operator");
            },
            "operator");
    operator.setDaemon(true);
    operator.start();
    if (Thread.currentThread() == runner) { // others he may have to wait for
      try {
        operator.join();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  /** What the relays select while they settle, on the thread that switches them. */
  private void look() {
    Switcher switcher = relays;
    if (switcher == null || !Thread.holdsLock(switcher)) {
      return;
    }
    Set<String> now;
    try {
      now = new TreeSet<>(switcher.closed());
    } catch (InstrumentException e) {
      throw new IllegalStateException(e);
    }
    boolean driven = !selected(now, Route.Purpose.MUTE) || !selected(before, Route.Purpose.MUTE);
    if (!before.isEmpty() && driven) {
      if (!of(now, Route.Purpose.LOAD).equals(of(before, Route.Purpose.LOAD))) {
        violations.add("a load moved under drive: " + before + " then " + now);
      }
      if (selected(now, Route.Purpose.MAINS_OFF) && !selected(before, Route.Purpose.MAINS_OFF)) {
        violations.add("mains taken before the drive was muted: " + before + " then " + now);
      }
    }
    before = now;
  }

  private boolean selected(Set<String> routes, Route.Purpose purpose) {
    return !of(routes, purpose).isEmpty();
  }

  private Set<String> of(Set<String> routes, Route.Purpose purpose) {
    Set<String> some = new TreeSet<>(routes);
    some.removeIf(route -> purposes.get(route) != purpose);
    return some;
  }

  private final class Clock implements BenchClock {
    private final SimulatedClock time = new SimulatedClock(Instant.parse("2026-11-25T08:00:00Z"));
    private volatile long at = Long.MAX_VALUE;

    @Override
    public long nanos() {
      return time.nanos();
    }

    @Override
    public Instant now() {
      return time.now();
    }

    @Override
    public boolean passesBySleepingOnly() {
      return true;
    }

    @Override
    public void sleep(Duration duration) throws InterruptedException {
      look();
      long left = at - time.nanos();
      if (left > duration.toNanos()) {
        time.sleep(duration);
        return;
      }
      time.sleep(Duration.ofNanos(Math.max(0, left)));
      at = Long.MAX_VALUE;
      stop();
      time.sleep(duration.minusNanos(Math.max(0, left)));
    }
  }
}
