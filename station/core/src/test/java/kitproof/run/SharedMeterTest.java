package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.locks.LockSupport;
import kitproof.document.YamlReader;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Handling;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeMeter;
import kitproof.driver.kit.RealClock;
import kitproof.interlock.Interlock;
import kitproof.interlock.Situation;
import kitproof.interlock.Trip;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * One meter that a step and two interlocks want at the same time, in real time and on real threads:
 * neither waits behind more than one call of the other, and no trip says that a reading was older
 * than stated. The stated time is far beyond what a busy machine takes.
 */
@Timeout(120)
class SharedMeterTest {
  private static final Duration STATED = Duration.ofSeconds(40);
  private static final int STEP_READINGS = 300;

  private final RealClock clock = new RealClock();
  private final List<String> order = new CopyOnWriteArrayList<>();
  private final List<Trip> trips = new CopyOnWriteArrayList<>();
  private volatile CountDownLatch held = new CountDownLatch(0);

  /** A reading takes 2 ms, or as long as the test holds it. */
  private double read(String function) {
    order.add(function);
    try {
      if (function.equals("step")) {
        held.await();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    LockSupport.parkNanos(2_000_000);
    return 1;
  }

  private final class Driver implements DriverProvider {
    @Override
    public DriverDescription describe() {
      return new DriverDescription("fake", "fakes", Set.of(InstrumentKind.METER), List.of());
    }

    @Override
    public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
      return settings.problems();
    }

    @Override
    public Instrument open(InstrumentKind kind, Settings settings, BenchContext context) {
      FakeMeter meter = new FakeMeter(new Calls(clock), "meter");
      for (String function : List.of("step", "rail", "ripple")) {
        meter.function(function, Unit.VOLT, () -> read(function));
      }
      return meter;
    }
  }

  private static Interlock interlock(String function) {
    return new Interlock(
        Location.of("plan.yaml"),
        function,
        "meter",
        function,
        null,
        Quantity.of(10, Unit.VOLT),
        STATED,
        Duration.ofMillis(20),
        Duration.ZERO,
        Set.of(Route.Purpose.MAINS_DIRECT),
        Conditions.NONE,
        0,
        9,
        null);
  }

  /** What the step does with the meter while the interlocks are armed. */
  private interface Step {
    void with(Meter meter, InterlockGuard guard) throws Exception;
  }

  private void shared(Step step) throws Exception {
    Bench bench =
        YamlReader.read("bench.yaml", "bench: b\nroles:\n  meter: {driver: fake, kind: meter}\n")
            .flatMap(BenchReader::read)
            .value();
    Plan plan =
        new Plan(
            "",
            "",
            "",
            Optional.empty(),
            Path.of(""),
            List.of(),
            List.of(),
            List.of(interlock("rail"), interlock("ripple")),
            bench.source());
    Latest latest = new Latest(System::nanoTime);
    try (InterlockGuard guard = new InterlockGuard(plan, bench, clock, latest, trips::add);
        OpenBench open =
            OpenBench.open(
                bench,
                Map.of("fake", new Driver()),
                "",
                Handling.UNTOLD,
                FakeStation.LONG,
                () -> {},
                new Halt(),
                guard,
                latest,
                told -> {})) {
      guard.watch(open);
      step.with(open.in("meter", InstrumentKind.METER).meter(), guard);
      guard.close(); // before the bench, as a run does
    }
  }

  private static void arm(InterlockGuard guard) {
    guard
        .interlocks()
        .enter(now -> new Situation(Route.Purpose.MAINS_DIRECT, 1, List.of(Conditions.NONE)));
  }

  @Test
  void aStepThatReadsWithoutAPauseAndInterlocksDoNotStarveOneAnother() throws Exception {
    shared(
        (meter, guard) -> {
          arm(guard);
          for (int i = 0; i < STEP_READINGS; i++) {
            var unused = meter.read("step");
            guard.check();
          }
        });
    assertThat(trips).as("never older than stated").isEmpty();
    assertThat(order.stream().filter("step"::equals)).hasSize(STEP_READINGS);
    // 300 readings of the step alone take 600 ms, which is time for thirty of each interlock
    for (String function : List.of("rail", "ripple")) {
      assertThat(order.stream().filter(function::equals).count()).as(function).isGreaterThan(5);
    }
  }

  @Test
  void whoAskedFirstIsReadFirst() throws Exception {
    shared(
        (meter, guard) -> {
          CountDownLatch release = new CountDownLatch(1);
          held = release;
          List<Thread> step = new ArrayList<>();
          step.add(reading(meter, "step 1"));
          awaitOrder(1);
          arm(guard); // both interlocks now want the meter, which the step has
          awaitWaiting("kitproof-interlock rail", "kitproof-interlock ripple");
          step.add(reading(meter, "step 2")); // as a step does that reads without a pause
          awaitWaiting("step 2");
          release.countDown();
          for (Thread thread : step) {
            thread.join();
          }
        });
    assertThat(order.subList(0, 4)).startsWith("step").endsWith("step").contains("rail", "ripple");
    assertThat(trips).isEmpty();
  }

  private static Thread reading(Meter meter, String name) {
    Thread thread =
        new Thread(
            () -> {
              try {
                var unused = meter.read("step");
              } catch (Exception e) {
                throw new IllegalStateException(e);
              }
            },
            name);
    thread.start();
    return thread;
  }

  private void awaitOrder(int size) {
    while (order.size() < size) {
      LockSupport.parkNanos(1_000_000);
    }
  }

  /** Waits until these threads wait themselves: what they asked for is in the queue. */
  private static void awaitWaiting(String... names) {
    for (String name : names) {
      while (Thread.getAllStackTraces().entrySet().stream()
          .noneMatch(
              thread ->
                  thread.getKey().getName().equals(name)
                      && Arrays.stream(thread.getValue())
                          .anyMatch(frame -> frame.getClassName().endsWith("FutureTask")))) {
        LockSupport.parkNanos(1_000_000);
      }
    }
  }
}
