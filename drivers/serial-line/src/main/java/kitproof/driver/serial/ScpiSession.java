package kitproof.driver.serial;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import org.jspecify.annotations.Nullable;

/**
 * Talks with an instrument in the manner of IEEE 488.2 and SCPI-99, over any line.
 *
 * <p>After each command the error queue is read, and an entry is a failure. After any failure, and
 * after the line was lost, the next call first finds its place again: it waits until the line is
 * quiet, clears the instrument's queues ({@code *CLS}), asks {@code *IDN?} and drops every answer
 * until the known identity comes. As an instrument answers in the order of the questions, no answer
 * to an earlier question can come after that; an identity is never taken for a reading, nor a
 * reading for an identity ({@code *OPC?} would answer "1", which is a number). Another identity
 * than the one met at the opening is a failure.
 */
public final class ScpiSession implements AutoCloseable {
  private static final Duration QUIET = Duration.ofMillis(20);
  private static final int MOST_ERRORS = 32;
  private static final String NOT_FOUND = "answers *IDN? with something else than four fields: ";

  private final Conversation conversation;
  private final ScpiSettings settings;
  private @Nullable String greeting;
  private Identity identity = new Identity("", "unknown", "", "");
  private boolean inStep;
  private int meetings;

  public ScpiSession(Conversation conversation, ScpiSettings settings) {
    this.conversation = conversation;
    this.settings = settings;
  }

  /** Opens the line and meets the instrument. */
  public static ScpiSession open(Conversation conversation, ScpiSettings settings)
      throws InstrumentException {
    ScpiSession session = new ScpiSession(conversation, settings);
    try {
      session.findPlace();
      return session;
    } catch (InstrumentException e) {
      conversation.close();
      throw e;
    }
  }

  public Identity identity() {
    return identity;
  }

  /**
   * How often the instrument had to be met, at least 1. When this has changed, it may have been
   * switched off in between: what was set before must be set again.
   */
  public int meetings() {
    return meetings;
  }

  /** Makes sure that the next answer will be that of the next question. */
  public void findPlace() throws InstrumentException {
    if (inStep && conversation.isOpen()) {
      return;
    }
    conversation.open(settings.timeout());
    conversation.discard(QUIET, settings.timeout());
    say("*CLS");
    say("*IDN?");
    long end = conversation.clock().nanos() + settings.timeout().toNanos();
    String answer = hear(end);
    while (!isFourFields(answer)) {
      answer = nextAfter(answer, end);
    }
    if (greeting != null && !greeting.equals(answer)) {
      throw another(answer);
    }
    greeting = answer;
    identity = identityOf(answer);
    inStep = true;
    meetings++;
    try {
      for (String command : settings.start()) {
        command(command);
      }
    } catch (InstrumentException e) {
      inStep = false;
      throw e;
    }
  }

  /**
   * Asks who is there though nothing seems wrong: an instrument may be exchanged between two
   * questions, with no answer lost.
   *
   * @throws InstrumentException PROTOCOL if it is another one than met at the opening
   */
  public void recognise() throws InstrumentException {
    if (!inStep || !conversation.isOpen()) {
      findPlace();
      return;
    }
    String answer =
        keepingStep(
            () -> {
              say("*IDN?");
              return hear(conversation.clock().nanos() + settings.timeout().toNanos());
            },
            "*IDN?");
    if (!isFourFields(answer)) {
      throw nonsense("*IDN?", answer, "four fields");
    }
    if (!answer.equals(greeting)) {
      inStep = false;
      throw another(answer);
    }
  }

  private InstrumentException another(String answer) {
    conversation.hangUp();
    return new InstrumentException(
        Kind.PROTOCOL, "another instrument answers: \"" + answer + "\", not " + identity);
  }

  private String nextAfter(String wrong, long end) throws InstrumentException {
    try {
      return hear(end);
    } catch (InstrumentException e) {
      if (e.kind() == Kind.TIMEOUT) {
        throw new InstrumentException(Kind.PROTOCOL, NOT_FOUND + "\"" + wrong + "\"", e);
      }
      throw e;
    }
  }

  /** IEEE 488.2-1992, 10.14: maker, model, serial number, firmware level. */
  private static boolean isFourFields(String answer) {
    return answer.split(",", -1).length >= 4 && answer.chars().allMatch(c -> c >= ' ' && c < 127);
  }

  /** "0" stands for what the instrument does not know (IEEE 488.2-1992, 10.14). */
  private static Identity identityOf(String answer) {
    String[] fields = answer.split(",", 4);
    for (int i = 0; i < fields.length; i++) {
      fields[i] = fields[i].strip();
    }
    return new Identity(
        fields[0],
        fields[1],
        fields[2].equals("0") ? "" : fields[2],
        fields[3].equals("0") ? "" : fields[3]);
  }

  /** Sends a command that has no answer, and reads the error queue. */
  public void command(String command) throws InstrumentException {
    findPlace();
    keepingStep(
        () -> {
          say(command);
          return "";
        },
        command);
    checkErrors(command);
  }

  /** Asks a question and reads its answer, and then the error queue. */
  public String query(String question) throws InstrumentException {
    findPlace();
    String answer =
        keepingStep(
            () -> {
              say(question);
              return hear(conversation.clock().nanos() + settings.timeout().toNanos());
            },
            question);
    checkErrors(question);
    return answer;
  }

  /** What was asked last has an answer that makes no sense: the next call finds its place again. */
  public InstrumentException nonsense(String question, String answer, String expected) {
    inStep = false;
    return new InstrumentException(
        Kind.PROTOCOL,
        identity + " answers " + question + " with \"" + answer + "\" instead of " + expected);
  }

  /** SCPI-1999 Volume 2, 21.8: the oldest entry first, 0 when there is none. */
  private void checkErrors(String after) throws InstrumentException {
    if (settings.errorQuery().isEmpty()) {
      return;
    }
    List<String> errors = new ArrayList<>();
    while (true) {
      String entry =
          keepingStep(
              () -> {
                say(settings.errorQuery());
                return hear(conversation.clock().nanos() + settings.timeout().toNanos());
              },
              settings.errorQuery());
      ScpiError error = ScpiError.parse(entry);
      if (error == null) {
        throw nonsense(settings.errorQuery(), entry, "a number and a text");
      }
      if (error.number() == 0) {
        break;
      }
      errors.add(error.toString());
      if (errors.size() == MOST_ERRORS) {
        inStep = false; // *CLS empties the queue
        break;
      }
    }
    if (!errors.isEmpty()) {
      throw new InstrumentException(
          Kind.PROTOCOL, identity + " reports after " + after + ": " + String.join("; ", errors));
    }
  }

  private interface Exchange {
    String run() throws InstrumentException;
  }

  private String keepingStep(Exchange exchange, String what) throws InstrumentException {
    inStep = false;
    try {
      String answer = exchange.run();
      inStep = true;
      return answer;
    } catch (InstrumentException e) {
      throw new InstrumentException(e.kind(), identity + ", " + what + ": " + e.getMessage(), e);
    }
  }

  private void say(String text) throws InstrumentException {
    conversation.ask((text + settings.terminator().text()).getBytes(StandardCharsets.US_ASCII));
  }

  private String hear(long end) throws InstrumentException {
    Duration left = Duration.ofNanos(Math.max(0, end - conversation.clock().nanos()));
    byte[] answer = conversation.receiveUntil(settings.terminator().last(), left);
    return new String(answer, StandardCharsets.ISO_8859_1).strip();
  }

  /** Frees whoever waits, at once. To take leave in words, do so before. */
  @Override
  public void close() {
    conversation.close();
  }
}
