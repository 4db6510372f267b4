package kitproof.driver.serialmeter;

import java.util.List;
import java.util.concurrent.locks.ReentrantLock;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.driver.serial.Conversation;
import kitproof.driver.serial.ScpiSession;
import org.jspecify.annotations.Nullable;

/**
 * A SCPI multimeter.
 *
 * <p>Chooses function and range only when another function is read than before, or when the meter
 * had to be met anew. A lost line is opened again at the next reading. How an old answer is kept
 * from being taken for a new one is told at {@link ScpiSession}. To be safe it needs nothing: it
 * only measures.
 */
final class SerialMeter implements Meter {
  private final ScpiSession session;
  private final MeterSettings settings;
  private final ReentrantLock busy = new ReentrantLock();
  private @Nullable String configured;
  private int meeting;
  private volatile boolean closed;

  private SerialMeter(ScpiSession session, MeterSettings settings) {
    this.session = session;
    this.settings = settings;
  }

  static SerialMeter open(Conversation conversation, MeterSettings settings)
      throws InstrumentException {
    return new SerialMeter(ScpiSession.open(conversation, settings.scpi()), settings);
  }

  @Override
  public Identity identity() {
    return session.identity();
  }

  @Override
  public List<MeterFunction> functions() {
    return settings.functions().entrySet().stream()
        .map(entry -> new MeterFunction(entry.getKey(), entry.getValue().unit()))
        .toList();
  }

  @Override
  public Reading read(String name) throws InstrumentException {
    MeterSettings.Function function = settings.functions().get(name);
    if (function == null) {
      throw new InstrumentException(
          Kind.RANGE,
          "the bench file gives this meter no function \""
              + name
              + "\", only "
              + String.join(", ", settings.functions().keySet()));
    }
    busy.lock();
    try {
      session.findPlace();
      configure(name, function);
      String answer = session.query(function.read());
      ScpiNumber number = ScpiNumber.parse(answer);
      if (number == null) {
        throw session.nonsense(function.read(), answer, "a number");
      }
      return reading(function, number);
    } finally {
      busy.unlock();
    }
  }

  private void configure(String name, MeterSettings.Function function) throws InstrumentException {
    if (name.equals(configured) && meeting == session.meetings()) {
      return;
    }
    configured = null;
    for (String command : function.configure()) {
      session.command(command);
    }
    configured = name;
    meeting = session.meetings();
  }

  private static Reading reading(MeterSettings.Function function, ScpiNumber number) {
    boolean upsideDown = function.scale() < 0;
    return switch (number.kind()) {
      case VALUE -> new Reading.Value(MeterSettings.scaled(function, number.value()));
      case OVERLOAD -> new Reading.Overload(upsideDown);
      case NEGATIVE_OVERLOAD -> new Reading.Overload(!upsideDown);
      case NOT_A_NUMBER -> new Reading.NotANumber();
    };
  }

  @Override
  public void recognise() throws InstrumentException {
    busy.lock();
    try {
      session.recognise();
    } finally {
      busy.unlock();
    }
  }

  @Override
  public void makeSafe() {}

  /** Frees a reading under way at once; otherwise takes leave of the meter first. */
  @Override
  public void close() throws InstrumentException {
    if (closed) {
      return;
    }
    closed = true;
    try {
      if (busy.tryLock()) {
        try {
          takeLeave();
        } finally {
          busy.unlock();
        }
      }
    } finally {
      session.close();
    }
  }

  private void takeLeave() throws InstrumentException {
    for (String command : settings.end()) {
      session.command(command);
    }
  }
}
