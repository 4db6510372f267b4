package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.document.YamlReader;
import kitproof.driver.BenchContext;
import kitproof.driver.Handling;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.FakeDriver;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A driver in a call is told that the safe state waits for it, and in no other. */
@Timeout(60)
class SafeStateWaitingTest {
  private static final Bench BENCH =
      YamlReader.read(
              "bench.yaml",
              """
              bench: one board
              roles:
                relays:
                  driver: fake
                  kind: switcher
                  routes:
                    mains off:     {group: mains, purpose: mains-off}
                    mains limited: {group: mains, purpose: mains-limited, relays: [K1]}
                    mains direct:  {group: mains, purpose: mains-direct, relays: [K1, K2]}
              """)
          .flatMap(BenchReader::read)
          .value();
  private static final Plan NOTHING =
      new Plan(
          "",
          "",
          "",
          Optional.empty(),
          Path.of(""),
          List.of(),
          List.of(),
          List.of(),
          BENCH.source());
  private static final Duration LONG = Duration.ofSeconds(30);

  private final CountDownLatch begun = new CountDownLatch(1);
  private final List<String> seen = new CopyOnWriteArrayList<>();

  /** A board whose read-back comes back only once the safe state waits for that. */
  private BoardAtRest board(BenchContext context) {
    return new BoardAtRest(
        context.routes(), drives -> see("made safe", context), route -> see("selected", context)) {
      @Override
      public Set<String> closed() {
        see("read back", context);
        begun.countDown();
        while (!context.isSafeStateWaiting()) {
          Thread.yield();
        }
        return super.closed();
      }
    };
  }

  private void see(String what, BenchContext context) {
    seen.add(what + (context.isSafeStateWaiting() ? " while it waits" : ""));
  }

  @Test
  void aCallUnderWayIsToldThatTheSafeStateWaits() throws Exception {
    SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
    Latest nobody = new Latest(System::nanoTime);
    InterlockGuard none = new InterlockGuard(NOTHING, BENCH, clock, nobody, trip -> {});
    try (none;
        OpenBench open =
            OpenBench.open(
                BENCH,
                Map.of("fake", new FakeDriver("fake", (kind, set, context) -> board(context))),
                "",
                Handling.UNTOLD,
                new Deadlines(LONG, LONG, LONG, LONG),
                () -> {},
                new Halt(),
                none,
                nobody,
                told -> {})) {
      OpenInstrument relays = open.in("relays", InstrumentKind.SWITCHER);
      relays.switcher().select("mains limited");
      CompletableFuture<Set<String>> readBack = CompletableFuture.supplyAsync(() -> closed(relays));
      assertThat(begun.await(30, TimeUnit.SECONDS)).isTrue();
      relays.makeSafeBeside();
      assertThat(readBack.get(30, TimeUnit.SECONDS)).containsExactly("mains off");
      assertThat(seen).containsExactly("selected", "read back", "made safe");
    }
  }

  private static Set<String> closed(OpenInstrument relays) {
    try {
      return relays.switcher().closed();
    } catch (InstrumentException e) {
      throw new IllegalStateException(e);
    }
  }
}
