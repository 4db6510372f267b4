package kitproof.driver.kit;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.function.UnaryOperator;
import kitproof.driver.InstrumentException;
import kitproof.driver.SimulatedClock;

/**
 * A byte line with an instrument of the test's at its far end, in simulated time.
 *
 * <p>The instrument is a function from what was sent to its reply, empty for none. Faults befall
 * replies, or the line. Nothing here waits: whoever receives passes the time on the clock.
 */
public final class ScriptedLine {
  /** What may befall a reply. */
  public enum Fault {
    /** It never comes. */
    SILENT,
    /** It comes with bits turned over; a line end at its end is left alone. */
    GARBLED,
    /** Its first half comes, the rest never. */
    HALF,
    /** It alone comes {@link #LATENESS} later, after answers to later questions. */
    LATE,
    /** It comes {@link #LATENESS} later and all later ones after it, in order. */
    BUSY,
    /** The line is lost, as when a cable is pulled; nothing works until it is opened again. */
    LOST
  }

  /** How late a late reply is; longer than a driver's deadline in tests should be. */
  public static final Duration LATENESS = Duration.ofSeconds(5);

  private static final class Chunk {
    final long dueNanos;
    final byte[] bytes;

    Chunk(long dueNanos, byte[] bytes) {
      this.dueNanos = dueNanos;
      this.bytes = bytes;
    }
  }

  private final SimulatedClock clock;
  private final UnaryOperator<byte[]> instrument;
  private final Deque<Chunk> underWay = new ArrayDeque<>();
  private final List<byte[]> sent = new ArrayList<>();
  private Fault fault = Fault.SILENT;
  private int faultAfter = -1;
  private boolean faultStays;
  private long busyUntil;
  private boolean lost;
  private boolean open;

  public ScriptedLine(SimulatedClock clock, UnaryOperator<byte[]> instrument) {
    this.clock = clock;
    this.instrument = instrument;
  }

  /** A line whose instrument speaks ASCII text, terminators included on both ways. */
  public static ScriptedLine ofText(SimulatedClock clock, UnaryOperator<String> instrument) {
    return new ScriptedLine(
        clock,
        bytes ->
            instrument
                .apply(new String(bytes, StandardCharsets.US_ASCII))
                .getBytes(StandardCharsets.US_ASCII));
  }

  public SimulatedClock clock() {
    return clock;
  }

  /** The reply after {@code skip} good ones suffers this fault; later ones are good again. */
  public ScriptedLine failOnce(Fault fault, int skip) {
    this.fault = fault;
    this.faultAfter = skip;
    this.faultStays = false;
    return this;
  }

  /** Every reply suffers this fault until {@link #mend()}. */
  public ScriptedLine failAlways(Fault fault) {
    failOnce(fault, 0);
    this.faultStays = true;
    return this;
  }

  /** No faults from now on; a lost line can be opened again. What is late still comes. */
  public ScriptedLine mend() {
    faultAfter = -1;
    lost = false;
    return this;
  }

  /** Whether a scripted fault is still to come. */
  public boolean faultPending() {
    return faultAfter >= 0;
  }

  /** Everything sent so far, one entry per call, as ISO 8859-1 text. */
  public List<String> sent() {
    return sent.stream().map(b -> new String(b, StandardCharsets.ISO_8859_1)).toList();
  }

  /** The driver's side: opens; what was under way is still under way. */
  public ScriptedLine open() throws InstrumentException {
    if (lost) {
      throw gone();
    }
    open = true;
    return this;
  }

  public boolean isOpen() {
    return open;
  }

  /** The driver's side: sends. */
  public void send(byte[] bytes) throws InstrumentException {
    requireThere();
    sent.add(bytes.clone());
    byte[] reply = instrument.apply(bytes.clone());
    if (reply.length == 0) {
      return;
    }
    boolean faulty = faultAfter == 0;
    if (faultAfter > 0 || (faulty && !faultStays)) {
      faultAfter--;
    }
    long now = clock.nanos();
    if (!faulty) {
      underWay.add(new Chunk(Math.max(now, busyUntil), reply));
      return;
    }
    switch (fault) {
      case SILENT -> {}
      case GARBLED -> underWay.add(new Chunk(now, garbled(reply)));
      case HALF -> underWay.add(new Chunk(now, Arrays.copyOf(reply, reply.length / 2)));
      case LATE -> underWay.add(new Chunk(now + LATENESS.toNanos(), reply));
      case BUSY -> {
        busyUntil = now + LATENESS.toNanos();
        underWay.add(new Chunk(busyUntil, reply));
      }
      case LOST -> {
        lost = true;
        underWay.clear();
      }
    }
  }

  /** The driver's side: what is there, or comes within the time; empty if nothing does. */
  public byte[] receive(Duration atMost) throws InstrumentException {
    requireThere();
    Chunk next =
        underWay.stream()
            .min((a, b) -> Long.compare(a.dueNanos, b.dueNanos))
            .orElse(new Chunk(Long.MAX_VALUE, new byte[0]));
    long wait = Math.max(0, next.dueNanos - clock.nanos());
    try {
      clock.sleep(Duration.ofNanos(Math.min(wait, atMost.toNanos())));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(InstrumentException.Kind.OTHER, "interrupted", e);
    }
    if (wait > atMost.toNanos()) {
      return new byte[0];
    }
    underWay.remove(next);
    return next.bytes.clone();
  }

  /** The driver's side: closes. */
  public void close() {
    open = false;
  }

  private void requireThere() throws InstrumentException {
    if (lost || !open) {
      throw gone();
    }
  }

  private static InstrumentException gone() {
    return new InstrumentException(InstrumentException.Kind.UNREACHABLE, "the line is lost");
  }

  private static byte[] garbled(byte[] reply) {
    byte[] bad = reply.clone();
    int end = bad.length;
    while (end > 0 && (bad[end - 1] == '\n' || bad[end - 1] == '\r')) {
      end--;
    }
    for (int i = 0; i < end; i++) {
      bad[i] ^= 0x55;
      if (bad[i] == '\n' || bad[i] == '\r') {
        bad[i] = '#';
      }
    }
    return bad;
  }
}
