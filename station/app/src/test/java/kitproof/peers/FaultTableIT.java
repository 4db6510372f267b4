package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicInteger;
import kitproof.driver.BenchClock;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.ModbusSlave;
import kitproof.run.Deadlines;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;

/** Faults of relays, of audio, of drivers and of the clock, and signals. */
class FaultTableIT extends FaultRows {
  private static final Deadlines SHORT =
      new Deadlines(
          Duration.ofSeconds(5),
          Duration.ofMillis(400),
          Duration.ofMillis(400),
          Duration.ofSeconds(30));

  FaultTableIT() {
    super(FaultTable.Section.INSTRUMENTS);
  }

  @Test
  void relayRefusesACoil() throws Exception {
    fake(
        14,
        "relay board refuses a coil (exception reply)",
        ERROR,
        Verdict.ERROR,
        bench ->
            bench.before =
                (role, method) -> {
                  if (method.equals("set") && bench.board.now().contains("K2")) {
                    bench.before = (r, m) -> {};
                    throw new InstrumentException(
                        InstrumentException.Kind.PROTOCOL, "exception 2: no such coil");
                  }
                });
  }

  @Test
  void relayThatDidNotMove() throws Exception {
    RunRecord record =
        fake(
            15,
            "relay that did not move: the load's stays open",
            ERROR,
            Verdict.ERROR,
            bench ->
                bench.before =
                    (role, method) -> {
                      if (method.equals("set") && bench.board.now().contains("K2")) {
                        bench.board.stick("K5", false);
                      }
                    });
    assertThat(record.reason()).contains("K5 did not close");
  }

  @Test
  void mainsRelayStuck() throws Exception {
    RunRecord record =
        fake(
            16,
            "mains relay welded shut",
            "error, not confirmed: the operator is told to use the emergency stop",
            Verdict.ERROR,
            bench ->
                bench.before =
                    (role, method) -> {
                      if (method.equals("set") && bench.board.now().contains("K2")) {
                        bench.board.stick("K1", true);
                      }
                    });
    assertThat(record.safeStates().get(record.safeStates().size() - 1).confirmed()).isFalse();
  }

  @Test
  void samplesLost() throws Exception {
    fake(
        18,
        "audio: samples lost in every capture",
        "error, mains off, discharge watched: no figure is made of it, and the unit is not blamed",
        Verdict.ERROR,
        bench -> bench.capture = c -> new Capture(c.signal(), c.clipped(), true));
  }

  @Test
  void inputClipped() throws Exception {
    fake(
        19,
        "audio: input clipped in every capture",
        "fail: a step asks for no more than the input takes, so what is beyond comes from the unit;"
            + " no figure is made of it, and a limit without a figure is not met",
        Verdict.FAIL,
        bench -> bench.capture = c -> new Capture(clippedAt60Volts(c.signal()), true, c.lost()));
  }

  private static Signal clippedAt60Volts(Signal signal) {
    double[][] volts = new double[signal.channels()][];
    for (int channel = 0; channel < volts.length; channel++) {
      volts[channel] = signal.channel(channel);
      for (int i = 0; i < volts[channel].length; i++) {
        volts[channel][i] = Math.max(-60, Math.min(60, 1e6 * volts[channel][i]));
      }
    }
    return Signal.of(signal.sampleRateHz(), volts);
  }

  @Test
  void wrongSampleRate() throws Exception {
    fake(
        20,
        "audio: the capture comes at another sample rate than the stimulus",
        "error, mains off, discharge watched: never a figure",
        Verdict.ERROR,
        bench ->
            bench.capture =
                c ->
                    new Capture(
                        Signal.of(44_100, c.signal().channel(0), c.signal().channel(1)),
                        c.clipped(),
                        c.lost()));
  }

  @Test
  void audioGone() throws Exception {
    fake(
        17,
        "audio device gone in the middle of a signal",
        ERROR,
        Verdict.ERROR,
        bench ->
            bench.before =
                (role, method) -> {
                  if (method.equals("exchange")) {
                    throw new InstrumentException(
                        InstrumentException.Kind.UNREACHABLE, "the device is gone");
                  }
                });
  }

  @Test
  void driverThatThrowsFromEveryMethod() throws Exception {
    fake(
        21,
        "driver that throws from every method once the mains is on (meter)",
        "error, mains off, HV called unknown",
        Verdict.ERROR,
        bench ->
            bench.before =
                (role, method) -> {
                  if (role.equals("hv-meter") && bench.board.now().contains("K2")) {
                    throw new IllegalStateException("a mistake in the driver");
                  }
                });
  }

  @Test
  void driverThatNeverReturns() throws Exception {
    CountDownLatch never = new CountDownLatch(1);
    RunRecord record =
        fake(
            22,
            "driver that never returns from a reading",
            "error within its deadline, mains off, HV called unknown",
            Verdict.ERROR,
            bench -> {
              bench.deadlines = SHORT;
              bench.before =
                  (role, method) -> {
                    if (method.equals("read") && bench.board.now().contains("K2")) {
                      never.await();
                    }
                  };
            });
    assertThat(record.notices()).anyMatch(n -> n.startsWith("HV rail unknown"));
    never.countDown();
  }

  @Test
  void outOfMemoryInDriver() throws Exception {
    fake(
        23,
        "out of memory in a driver while it works on a capture",
        ERROR,
        Verdict.ERROR,
        bench ->
            bench.capture =
                c -> {
                  throw new OutOfMemoryError("Java heap space");
                });
  }

  @Test
  void diskFullOnce() throws Exception {
    fake(
        24,
        "disk full for a moment while the journal is written",
        "error, mains off; the end is on record when there is room again",
        Verdict.ERROR,
        bench ->
            bench.sink =
                journal ->
                    event -> {
                      if (event instanceof Event.StepStarted s && s.step().equals("gain")) {
                        throw new IOException("No space left on device");
                      }
                      return journal.append(event);
                    });
  }

  @Test
  void calendarClockJumps() throws Exception {
    FaultBench bench = new FaultBench(folder);
    BenchClock real = bench.clock;
    AtomicInteger looks = new AtomicInteger();
    bench.clock =
        new BenchClock() {
          @Override
          public long nanos() {
            return real.nanos();
          }

          @Override
          public Instant now() {
            return real.now().plus(Duration.ofHours(looks.incrementAndGet() % 2 == 0 ? -5 : 7));
          }

          @Override
          public void sleep(Duration duration) throws InterruptedException {
            real.sleep(duration);
          }
        };
    RunRecord record = run(bench);
    assertThat(record.verdict()).as(record.reason()).isEqualTo(Verdict.PASS);
    assertThat(record.steps().get(1).took())
        .isBetween(Duration.ofSeconds(2), Duration.ofSeconds(3));
    table.put(
        25,
        "calendar clock jumps by hours, to and fro, at every look",
        "pass: nothing is timed by it, so neither unit nor station is the worse for it",
        FaultTable.seen(record));
  }

  @Test
  void relayBoardUnplugged() throws Exception {
    wire(
        12,
        "relay board unplugged, then a stop",
        "error, not confirmed: the operator is told to use the emergency stop",
        Verdict.ERROR,
        (bench, program) -> {
          bench.relayCable.unplug();
          program.signal("INT");
        });
  }

  @Test
  void relayBoardSilent() throws Exception {
    wire(
        13,
        "relay board obeys but answers no more, then a stop",
        "error, not confirmed; the relays are at rest all the same",
        Verdict.ERROR,
        (bench, program) -> {
          bench.slave.failAlways(ModbusSlave.Fault.SILENT);
          program.signal("INT");
        });
  }

  @Test
  void interrupted() throws Exception {
    wire(
        31,
        "SIGINT (Ctrl-C)",
        "aborted, mains off, discharge watched",
        Verdict.ABORTED,
        (bench, program) -> program.signal("INT"));
  }

  @Test
  void terminated() throws Exception {
    wire(
        32,
        "SIGTERM",
        "aborted, mains off, discharge watched",
        Verdict.ABORTED,
        (bench, program) -> program.signal("TERM"));
  }
}
