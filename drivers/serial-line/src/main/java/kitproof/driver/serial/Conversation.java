package kitproof.driver.serial;

import java.io.ByteArrayOutputStream;
import java.time.Duration;
import java.util.Arrays;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import org.jspecify.annotations.Nullable;

/**
 * Question and answer over a line, each answer with a deadline, opened again after a loss.
 *
 * <p>A line that is lost is let go at once and opened at the next use; {@link #isOpen} tells
 * whoever must greet the instrument anew. One thread uses it; {@link #close()} may come from
 * another and frees it.
 */
public final class Conversation implements AutoCloseable {
  /** Longer answers than this are none. */
  private static final int LONGEST = 65_536;

  private final String name;
  private final LineOpener opener;
  private final BenchClock clock;
  private volatile @Nullable Line line;
  private volatile boolean closed;
  private byte[] held = new byte[0];

  /**
   * Opens nothing yet.
   *
   * @param name of the line, for messages
   */
  public Conversation(String name, LineOpener opener, BenchClock clock) {
    this.name = name;
    this.opener = opener;
    this.clock = clock;
  }

  public BenchClock clock() {
    return clock;
  }

  /** Whether there is a line that is not known to be lost. */
  public boolean isOpen() {
    return line != null;
  }

  /** Opens the line if there is none. */
  public void open(Duration atMost) throws InstrumentException {
    if (closed) {
      throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, name + " is closed");
    }
    if (line == null) {
      held = new byte[0];
      Line opened = opener.open(clock, atMost);
      line = opened;
      if (closed) { // in the meantime, by another thread
        opened.close();
      }
    }
  }

  /** Throws away what came before, and sends. */
  public void ask(byte[] question) throws InstrumentException {
    discard(Duration.ZERO, Duration.ZERO);
    use(
        open -> {
          open.send(question);
          return question;
        });
  }

  /**
   * Receives up to a byte.
   *
   * @return without that byte
   * @throws InstrumentException TIMEOUT if it does not come in time; what came is dropped
   */
  public byte[] receiveUntil(byte last, Duration atMost) throws InstrumentException {
    long end = clock.nanos() + atMost.toNanos();
    int searched = 0;
    while (true) {
      for (; searched < held.length; searched++) {
        if (held[searched] == last) {
          byte[] answer = take(searched);
          take(1);
          return answer;
        }
      }
      if (held.length > LONGEST) {
        held = new byte[0];
        throw new InstrumentException(
            InstrumentException.Kind.PROTOCOL, "an answer without end from " + name);
      }
      more(end, atMost);
    }
  }

  /**
   * Receives this many bytes.
   *
   * @throws InstrumentException TIMEOUT if they do not come in time; what came is dropped
   */
  public byte[] receiveExactly(int count, Duration atMost) throws InstrumentException {
    long end = clock.nanos() + atMost.toNanos();
    while (held.length < count) {
      more(end, atMost);
    }
    return take(count);
  }

  /**
   * Throws away what has come and what comes until the line is quiet.
   *
   * @param quiet how long nothing must come
   * @param atMost when to give up on a line that is never quiet
   * @throws InstrumentException PROTOCOL if it was never quiet
   */
  public void discard(Duration quiet, Duration atMost) throws InstrumentException {
    long end = clock.nanos() + atMost.toNanos();
    held = new byte[0];
    int dropped = 0;
    for (int came = -1; came != 0; dropped += came) {
      came = use(open -> open.receive(quiet)).length;
      if (dropped > LONGEST || (!quiet.isZero() && came > 0 && clock.nanos() > end)) {
        throw new InstrumentException(
            InstrumentException.Kind.PROTOCOL, name + " talks without being asked");
      }
    }
  }

  private void more(long end, Duration atMost) throws InstrumentException {
    Duration left = Duration.ofNanos(Math.max(0, end - clock.nanos()));
    byte[] bytes = use(open -> open.receive(left));
    if (bytes.length == 0 && clock.nanos() >= end) {
      int half = held.length;
      held = new byte[0];
      throw new InstrumentException(
          InstrumentException.Kind.TIMEOUT,
          (half == 0 ? "no answer" : "only " + half + " bytes of an answer")
              + " from "
              + name
              + " within "
              + atMost.toMillis()
              + " ms");
    }
    ByteArrayOutputStream all = new ByteArrayOutputStream();
    all.writeBytes(held);
    all.writeBytes(bytes);
    held = all.toByteArray();
  }

  private byte[] take(int count) {
    byte[] taken = Arrays.copyOf(held, count);
    held = Arrays.copyOfRange(held, count, held.length);
    return taken;
  }

  private interface Use {
    byte[] on(Line line) throws InstrumentException;
  }

  /** Uses the line; lets go of it if it turns out to be lost. */
  private byte[] use(Use use) throws InstrumentException {
    Line open = line;
    if (open == null) {
      throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, name + " is not open");
    }
    try {
      return use.on(open);
    } catch (InstrumentException e) {
      if (e.kind() == InstrumentException.Kind.UNREACHABLE) {
        hangUp();
      }
      throw e;
    }
  }

  /** Lets go of the line; the next use opens it again. */
  public void hangUp() {
    Line open = line;
    line = null;
    held = new byte[0];
    if (open != null) {
      open.close();
    }
  }

  /** Lets go of the line for good; whoever waits for an answer gets UNREACHABLE. */
  @Override
  public void close() {
    closed = true;
    hangUp();
  }
}
