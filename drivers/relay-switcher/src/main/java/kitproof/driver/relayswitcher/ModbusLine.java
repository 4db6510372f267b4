package kitproof.driver.relayswitcher;

import java.time.Duration;
import java.util.Arrays;
import java.util.TreeSet;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.serial.Conversation;
import kitproof.driver.serial.SerialFormat;

/**
 * Request and reply with one Modbus RTU slave.
 *
 * <p>Replies carry nothing that ties them to their request, so a late one must not be taken for the
 * next. A slave answers in order, hence: frames of another function than asked for are skipped; and
 * after a failure the line must be quiet for one timeout before coils are read, unless a write was
 * answered in between. Writes go out at once, as opening a relay must not wait; whoever writes
 * reads back. Coils are told to be off on a line that is never quiet too: the command may get
 * through where its reply does not.
 */
final class ModbusLine implements AutoCloseable {
  /** A USB adapter may hold back what it has for 16 ms (common practice, no source). */
  private static final Duration END_OF_NONSENSE = Duration.ofMillis(30);

  private static final int READ = 1;
  private static final int WRITE_REGISTER = 6;

  /** A command may have to wait for a refresh, so no refresh waits longer than this. */
  private static final Duration REFRESH = Duration.ofMillis(100);

  /** So long a line that is never quiet holds up what de-energises. */
  private static final Duration HOLD_UP = Duration.ofMillis(100);

  private final Conversation conversation;
  private final int unit;
  private final Duration silence;
  private final Duration timeout;
  private boolean unsure = true;
  private final TreeSet<Integer> toldOff = new TreeSet<>();
  private int lastRepeated = -1;

  ModbusLine(Conversation conversation, int unit, SerialFormat format, Duration timeout) {
    this.conversation = conversation;
    this.unit = unit;
    this.silence = silence(format.baud());
    this.timeout = timeout;
  }

  /**
   * The silence before a frame: 3.5 characters of 11 bits, and 1.75 ms above 19200 baud (MODBUS
   * over Serial Line Specification V1.02, 2.5.1.1).
   */
  static Duration silence(int baud) {
    return baud > 19_200
        ? Duration.ofNanos(1_750_000)
        : Duration.ofNanos(Math.round(3.5 * 11 / baud * 1e9));
  }

  /**
   * Sends a request and returns the reply's function and data.
   *
   * @param data function code and data of the request: 01, 05, 06 or 0F
   * @throws InstrumentException PROTOCOL with the exception's name if the slave says no
   */
  byte[] exchange(byte[] data) throws InstrumentException {
    try {
      open();
      if (unsure && data[0] == READ) {
        passLateReplies();
      }
      return once(data);
    } catch (InstrumentException e) {
      throw new InstrumentException(
          e.kind(),
          "Modbus unit " + unit + ", " + ModbusFrame.functionName(data[0]) + ": " + e.getMessage(),
          e);
    }
  }

  /** Opens the line if there is none. */
  void open() throws InstrumentException {
    if (!conversation.isOpen()) {
      conversation.open(timeout);
      unsure = true;
    }
  }

  /** Writes the register that keeps the board's watchdog waiting. */
  void refresh(BoardSettings.Watchdog watchdog) throws InstrumentException {
    if (!conversation.isOpen()) {
      throw new InstrumentException(Kind.UNREACHABLE, "the line is not open");
    }
    Duration bound = shorter(timeout, REFRESH);
    long end = conversation.clock().nanos() + bound.toNanos();
    byte[] data = ModbusFrame.writeRegister(watchdog.register(), watchdog.value());
    try {
      unsure = true;
      conversation.discard(silence, bound);
      var unused = answered(data, end);
    } catch (InstrumentException e) {
      throw new InstrumentException(
          e.kind(), "Modbus unit " + unit + ", watchdog: " + e.getMessage(), e);
    }
  }

  private void passLateReplies() throws InstrumentException {
    if (toldOff.isEmpty()) {
      conversation.discard(timeout, timeout.multipliedBy(3));
      return;
    }
    Integer next = toldOff.higher(lastRepeated);
    lastRepeated = next == null ? toldOff.first() : next;
    once(ModbusFrame.writeCoil(lastRepeated, false));
  }

  private byte[] once(byte[] data) throws InstrumentException {
    unsure = true;
    remember(data);
    if (isOff(data)) {
      quietOrNot();
    } else {
      conversation.discard(silence, timeout);
    }
    return answered(data, conversation.clock().nanos() + timeout.toNanos());
  }

  /** A line that talks all the time must not keep a relay from being released. */
  private void quietOrNot() throws InstrumentException {
    try {
      conversation.discard(silence, shorter(timeout, HOLD_UP));
    } catch (InstrumentException e) {
      if (e.kind() != Kind.PROTOCOL) {
        throw e;
      }
    }
  }

  private byte[] answered(byte[] data, long end) throws InstrumentException {
    conversation.ask(ModbusFrame.of(unit, data));
    byte[] reply = reply(data, end);
    unsure = false;
    return reply;
  }

  private static Duration shorter(Duration one, Duration other) {
    return one.compareTo(other) < 0 ? one : other;
  }

  /** Whether this tells coils to be off; those of one frame are all told the same. */
  private static boolean isOff(byte[] data) {
    return (data[0] == 5 && data[3] == 0) || (data[0] == 0x0F && data[6] == 0);
  }

  /** Keeps which coils were last told to be off, whether or not that is answered. */
  private void remember(byte[] data) {
    if (data[0] == READ || data[0] == WRITE_REGISTER) {
      return;
    }
    int first = number(data, 1);
    boolean off = isOff(data);
    for (int coil = first; coil < first + (data[0] == 5 ? 1 : number(data, 3)); coil++) {
      if (off) {
        toldOff.add(coil);
      } else {
        toldOff.remove(coil);
      }
    }
  }

  private static int number(byte[] data, int at) {
    return ((data[at] & 0xFF) << 8) | (data[at + 1] & 0xFF);
  }

  /** The first sound reply that fits; sound ones that do not are late ones, or the slave errs. */
  private byte[] reply(byte[] asked, long end) throws InstrumentException {
    byte[] misfit = new byte[0];
    while (true) {
      byte[] frame;
      try {
        frame = frame(asked, end);
      } catch (InstrumentException e) {
        throw e.kind() == Kind.TIMEOUT && misfit.length > 0 ? doesNotFit(misfit) : e;
      }
      byte[] data = Arrays.copyOfRange(frame, 1, frame.length - 2);
      if (data[0] == (byte) (asked[0] | 0x80)) {
        throw new InstrumentException(
            Kind.PROTOCOL,
            "refused with exception " + data[1] + ", " + ModbusFrame.exceptionName(data[1]));
      }
      // A write is answered with its own address and its value or count.
      if (data[0] == asked[0]
          && (data[0] == READ || Arrays.equals(data, Arrays.copyOf(asked, 5)))) {
        return data;
      }
      misfit = frame;
    }
  }

  private static InstrumentException doesNotFit(byte[] frame) {
    return new InstrumentException(
        Kind.PROTOCOL, "the reply does not fit the request: " + ModbusFrame.hex(frame));
  }

  private byte[] frame(byte[] asked, long end) throws InstrumentException {
    byte[] start = receive(2, end);
    if (start[0] != (byte) unit || !isOurs(start[1] & 0x7F)) {
      throw nonsense(start, end);
    }
    byte[] frame = rest(start, asked, end);
    if (!ModbusFrame.isSound(frame)) {
      throw nonsense(frame, end);
    }
    return frame;
  }

  private static boolean isOurs(int function) {
    return function == READ || function == 5 || function == WRITE_REGISTER || function == 0x0F;
  }

  private byte[] rest(byte[] start, byte[] asked, long end) throws InstrumentException {
    if (start[1] < 0) { // an exception
      return join(start, receive(3, end));
    }
    if (start[1] != READ) {
      return join(start, receive(6, end));
    }
    byte[] withCount = join(start, receive(1, end));
    int count = withCount[2] & 0xFF;
    if (asked[0] == READ && count != (number(asked, 3) + 7) / 8) {
      throw nonsense(withCount, end);
    }
    return join(withCount, receive(count + 2, end));
  }

  private byte[] receive(int count, long end) throws InstrumentException {
    return conversation.receiveExactly(count, until(end));
  }

  private Duration until(long end) {
    return Duration.ofNanos(Math.max(0, end - conversation.clock().nanos()));
  }

  private static byte[] join(byte[] first, byte[] second) {
    byte[] all = Arrays.copyOf(first, first.length + second.length);
    System.arraycopy(second, 0, all, first.length, second.length);
    return all;
  }

  private InstrumentException nonsense(byte[] frame, long end) throws InstrumentException {
    conversation.discard(END_OF_NONSENSE, until(end));
    return new GarbledReply("garbled, or from another unit: " + ModbusFrame.hex(frame));
  }

  @Override
  public void close() {
    conversation.close();
  }
}
