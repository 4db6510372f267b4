package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import kitproof.driver.InstrumentException;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/**
 * Fails the n-th driver call of a run for every n, once and for ever (the way SQLite is tested
 * against failing allocations), and looks at relays, verdict and events afterwards.
 *
 * <p>In a safe state instruments are commanded side by side: which of their calls there has which
 * number is not the same in every run. A sweep fails every number, so it may meet one of those
 * calls twice and another not at all; what it says of a call is taken from the run that failed.
 */
class FaultSweepTest {
  private interface Fault {
    void happen() throws Throwable;
  }

  private static final Map<String, Fault> FAULTS =
      new LinkedHashMap<>(
          Map.of(
              "an exception of the contract",
              () -> {
                throw new InstrumentException(InstrumentException.Kind.PROTOCOL, "scripted");
              },
              "a mistake in the driver",
              () -> {
                throw new IllegalStateException("scripted");
              },
              "a driver built against something else",
              () -> {
                throw new NoSuchMethodError("scripted");
              }));

  private static List<Hook.Call> callsOfAGoodRun() throws IOException {
    FakeStation station = new FakeStation();
    assertThat(station.run()).isEqualTo(Verdict.PASS);
    return station.line.calls();
  }

  @TestFactory
  List<DynamicTest> everyCallFailsOnceOrForEver() throws Exception {
    int calls = callsOfAGoodRun().size();
    assertThat(calls).isGreaterThan(100);
    List<DynamicTest> tests = new ArrayList<>();
    FAULTS.forEach(
        (name, fault) -> {
          for (boolean forEver : new boolean[] {false, true}) {
            String title = name + (forEver ? ", for ever" : ", once");
            tests.add(DynamicTest.dynamicTest(title, () -> sweep(calls, fault, forEver)));
          }
        });
    return tests;
  }

  /** For ever means that the instrument of that call is lost; the others still work. */
  private static void sweep(int calls, Fault fault, boolean forEver) throws IOException {
    for (int n = 1; n <= calls; n++) {
      int failing = n;
      AtomicBoolean happened = new AtomicBoolean();
      String[] broken = {""};
      FakeStation station =
          new FakeStation(
              call -> {
                boolean first = call.number() == failing;
                if (first) {
                  happened.set(true);
                  broken[0] = call.role();
                }
                if (first || (forEver && happened.get() && call.role().equals(broken[0]))) {
                  fault.happen();
                }
              });
      Verdict verdict = station.run();
      String about = "call " + n + ", " + station.line.calls().get(n - 1);
      assertThat(verdict).as(about).isEqualTo(Verdict.ERROR);
      Invariants.check(station, about);
      assertThat(station.events(Event.RunEnded.class).get(0).reason())
          .as(about)
          .contains(broken[0])
          .contains("scripted");
      if (!broken[0].equals("relays")) {
        Invariants.atRest(station, about);
      }
    }
  }

  @Test
  void aCallThatNeverReturnsIsATimeoutAndTheBenchIsSafe() throws Exception {
    Map<String, Integer> distinct = new LinkedHashMap<>();
    callsOfAGoodRun().forEach(c -> distinct.putIfAbsent(c.role() + c.text(), c.number()));
    for (int hanging : distinct.values()) {
      CountDownLatch over = new CountDownLatch(1);
      FakeStation station =
          new FakeStation(
              call -> {
                if (call.number() == hanging) {
                  awaitWhateverComes(over);
                }
              });
      station.deadlines =
          new Deadlines(
              Duration.ofMillis(250),
              Duration.ofMillis(250),
              Duration.ofMillis(100),
              Duration.ofSeconds(60));
      Verdict verdict;
      try {
        verdict = station.run();
      } finally {
        over.countDown();
      }
      Hook.Call call = station.line.calls().get(hanging - 1);
      assertThat(verdict).as(call.toString()).isEqualTo(Verdict.ERROR);
      assertThat(station.events(Event.RunEnded.class).get(0).reason())
          .as(call.toString())
          .contains(call.role())
          .contains(" did not ")
          .contains(" within ");
      Invariants.relays(station, call.toString());
      if (!call.role().equals("relays")) {
        Invariants.check(station, call.toString());
        Invariants.atRest(station, call.toString());
      }
    }
  }

  /** A driver that minds no interrupt either. */
  private static void awaitWhateverComes(CountDownLatch latch) {
    while (true) {
      try {
        latch.await();
        return;
      } catch (InterruptedException e) {
        continue;
      }
    }
  }

  @Test
  void aRelayThatSticksIsSeenByReadBack() throws Exception {
    for (String relay : List.of("K1", "K2", "K3", "K4")) {
      FakeStation station = new FakeStation();
      station.sink =
          event -> {
            if (event instanceof Event.StepStarted step && step.step().equals("distortion")) {
              station.board.stick(relay, true);
            }
            return station.keep(event);
          };
      assertThat(station.run()).as(relay).isEqualTo(Verdict.ERROR);
      List<Event.SafeState> states = station.events(Event.SafeState.class);
      assertThat(states.get(states.size() - 1).confirmed()).as(relay).isFalse();
      assertThat(states.get(states.size() - 1).detail()).as(relay).contains(relay);
      assertThat(station.events(Event.RunEnded.class).get(0).reason()).contains(relay);
      Invariants.relays(station, Set.of(relay), relay + " sticks");
      Invariants.events(station, relay + " sticks");
      Set<String> left = new TreeSet<>(station.board.now());
      left.retainAll(List.of("K1", "K2", "K3", "K4"));
      assertThat(left).as(relay + ": all the others are at rest").containsExactly(relay);
    }
  }

  @Test
  void aMeterLostWithTheRailUpLeavesTheWarningThatTheUnitIsLive() throws Exception {
    FakeStation station =
        new FakeStation(
            call -> {
              if (call.number() > 60 && call.role().equals("hv-meter")) {
                throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, "unplugged");
              }
            });
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.ERROR);
    assertThat(station.events(Event.Notice.class))
        .extracting(Event.Notice::text)
        .anyMatch(text -> text.startsWith("HV rail unknown: treat the unit as live"));
    Invariants.check(station, "meter lost");
    Invariants.atRest(station, "meter lost");
  }

  @Test
  void anEventThatCannotBeKeptEndsTheRunWithTheBenchSafe() throws Exception {
    FakeStation good = new FakeStation();
    good.run();
    for (boolean forEver : new boolean[] {false, true}) {
      for (int k = 0; k < good.events.size(); k++) {
        int failing = k;
        AtomicInteger count = new AtomicInteger();
        FakeStation station = new FakeStation();
        station.sink =
            event -> {
              int now = count.getAndIncrement();
              if (now == failing || (forEver && now > failing)) {
                throw new IOException("disk full");
              }
              return station.keep(event);
            };
        String about = "event " + k + (forEver ? " and all after" : "");
        if (forEver || k == 0 || k == good.events.size() - 1) {
          assertThatThrownBy(station::run).as(about).isInstanceOf(IOException.class);
          assertThat(station.events(Event.RunEnded.class)).as(about).isEmpty();
        } else {
          assertThat(station.run()).as(about).isEqualTo(Verdict.ERROR);
          assertThat(station.events(Event.RunEnded.class).get(0).reason())
              .isEqualTo("the journal could not be written: disk full");
        }
        Invariants.relays(station, about);
        Invariants.atRest(station, about);
      }
    }
  }

  @Test
  void aRunThatBreaksOffWithTheRailUpSaysThatTheUnitIsLive() throws Exception {
    for (boolean forEver : new boolean[] {false, true}) {
      AtomicInteger failures = new AtomicInteger();
      FakeStation station = new FakeStation();
      station.sink =
          event -> {
            boolean first = event instanceof Event.StepStarted e && e.step().equals("distortion");
            if (first || (forEver && failures.get() > 0)) {
              failures.incrementAndGet();
              throw new IOException("disk full");
            }
            return station.keep(event);
          };
      if (forEver) {
        assertThatThrownBy(station::run)
            .isInstanceOf(IOException.class)
            .hasMessageStartingWith("disk full; HV rail unknown: treat the unit as live");
      } else {
        assertThat(station.run()).isEqualTo(Verdict.ERROR);
        assertThat(station.events(Event.Notice.class))
            .extracting(Event.Notice::text)
            .anyMatch(text -> text.startsWith("HV rail unknown: treat the unit as live"));
      }
    }
  }

  @Test
  void aRunThatBreaksOffBeforeMainsOrAfterTheDischargeWarnsOfNothing() throws Exception {
    for (String cause : List.of("start of the run", "end of the run")) {
      FakeStation station = new FakeStation();
      station.sink =
          event -> {
            if (event instanceof Event.SafeState e && e.cause().equals(cause)) {
              throw new IOException("disk full");
            }
            return station.keep(event);
          };
      assertThat(station.run()).isEqualTo(Verdict.ERROR);
      assertThat(station.events(Event.Notice.class)).as(cause).isEmpty();
    }
  }

  @Test
  void aMistakeInTheJournalEndsTheRunWithTheBenchSafeToo() throws Exception {
    FakeStation station = new FakeStation();
    AtomicInteger count = new AtomicInteger();
    station.sink =
        event -> {
          if (count.incrementAndGet() == 20) {
            throw new IllegalStateException("scripted");
          }
          return station.keep(event);
        };
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    Invariants.check(station, "mistake in the journal");
    Invariants.atRest(station, "mistake in the journal");
  }
}
