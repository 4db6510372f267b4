package kitproof.driver.audio;

import java.time.Duration;
import java.util.Arrays;
import java.util.function.BooleanSupplier;
import java.util.function.IntSupplier;
import javax.sound.sampled.SourceDataLine;
import javax.sound.sampled.TargetDataLine;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import org.jspecify.annotations.Nullable;

/**
 * Moves samples to and from an open device, without a break from the start on: passages, and
 * silence where there is nothing to play.
 *
 * <p>Asks the lines how much they can take and give and never lets them block: when a sound server
 * dies, Java Sound throws nothing and its lines call themselves running, but nothing moves any
 * more; when that lasts too long the device counts as lost.
 */
final class Transfer {
  private static final Duration PAUSE = Duration.ofMillis(5);

  /** How long frames may be behind before they count as lost: a busy server brings them late. */
  private static final Duration BEHIND = Duration.ofMillis(300);

  /** By so much what is most timely differs from one while to the next, with nothing lost. */
  private static final double UNSURE_SECONDS = 0.01;

  /** By so much of its length more in a long capture, as two clocks go (common practice). */
  private static final double CLOCKS_DIFFER = 300e-6;

  private final SourceDataLine out;
  private final TargetDataLine in;
  private final SampleCodec outCodec;
  private final SampleCodec inCodec;
  private final BenchClock clock;
  private final Duration timeout;
  private final BooleanSupplier cancelled;
  private final CaptureClock captureClock;
  private final byte[] outBuffer;
  private final byte[] inBuffer;
  private Stretch stretch = Stretch.SILENCE;
  private long played;
  private long captured;
  private int primed;
  private boolean playing;
  private boolean late;
  private long turn;

  /**
   * What is played from one frame on, and what comes in meanwhile.
   *
   * @param passage what is played; silence follows it; null for nothing but silence
   * @param recording where what comes in is kept; null if it is not
   * @param from the frame of all those played with which it begins
   * @param recordedFrom the frame of all those captured with which the recording begins
   */
  private record Stretch(
      @Nullable Passage passage, @Nullable Recording recording, long from, long recordedFrom) {
    static final Stretch SILENCE = new Stretch(null, null, 0, 0);

    double at(int channel, long frame) {
      long inPassage = frame - from;
      return passage == null || inPassage >= passage.length()
          ? 0
          : passage.at(channel, (int) inPassage);
    }
  }

  Transfer(Lines lines, BenchClock clock, Duration timeout, BooleanSupplier cancelled) {
    this.out = lines.out();
    this.in = lines.in();
    this.outCodec = new SampleCodec(out.getFormat());
    this.inCodec = new SampleCodec(in.getFormat());
    this.clock = clock;
    this.captureClock = new CaptureClock(in.getFormat().getFrameRate());
    this.timeout = timeout;
    this.cancelled = cancelled;
    this.outBuffer = new byte[out.getBufferSize()];
    this.inBuffer = new byte[in.getBufferSize()];
  }

  /** Plays this next, from its beginning, and keeps what comes in from now on. */
  void take(Passage passage, Recording recording) {
    stretch = new Stretch(passage, recording, played, captured);
    late = false;
  }

  /** Starts the capture and, once it gives samples, the playback. */
  void start() throws InstrumentException, InterruptedException {
    in.start();
    until(() -> captured > 0);
    primed = (int) captured;
    playing = true;
    turn = clock.nanos();
    var unused = play();
    out.start();
  }

  /** Goes on until this many frames are in the recording. */
  void record(int frames) throws InstrumentException, InterruptedException {
    record(() -> frames);
  }

  /** The same, where it may show meanwhile how many it takes. */
  void record(IntSupplier frames) throws InstrumentException, InterruptedException {
    until(() -> captured - stretch.recordedFrom >= frames.getAsInt());
  }

  /**
   * Goes on until this many frames are in the recording, and counts them against the clock: where
   * no marker tells of it, samples that were lost show in that all that come after come too late.
   *
   * @param from the first frame of which none may be missing
   * @return whether there are fewer than have come in that time before
   */
  boolean recordCounting(int from, int to) throws InstrumentException, InterruptedException {
    record(from);
    double seconds = (to - from) / in.getFormat().getFrameRate();
    double unsure = (UNSURE_SECONDS + CLOCKS_DIFFER * seconds) * in.getFormat().getFrameRate();
    double enough = captureClock.ahead() - unsure;
    record(to);
    captureClock.forget();
    long end = clock.nanos() + BEHIND.toNanos();
    until(() -> captureClock.ahead() >= enough || clock.nanos() >= end);
    return captureClock.ahead() < enough;
  }

  /**
   * Plays silence and forgets what comes in until something else is to be done, or this program has
   * come so late that it cannot be told any more what belongs together.
   */
  void keepSilent(BooleanSupplier wanted) throws InstrumentException, InterruptedException {
    stretch = Stretch.SILENCE;
    late = false;
    until(() -> late || wanted.getAsBoolean());
  }

  /** Of the recording, the frame at which playing would have come back that takes no time. */
  int begun() {
    return (int) (stretch.from + primed - stretch.recordedFrom);
  }

  /**
   * Whether this program came back so late that a buffer may have run dry or over.
   *
   * <p>A hint; the proof is in the signal.
   */
  boolean late() {
    return late;
  }

  private void until(BooleanSupplier enough) throws InstrumentException, InterruptedException {
    long lastPlayed = clock.nanos();
    long lastCaptured = lastPlayed;
    while (!enough.getAsBoolean()) {
      if (cancelled.getAsBoolean()) {
        throw new InstrumentException(Kind.UNREACHABLE, "the audio interface was closed meanwhile");
      }
      long now = clock.nanos();
      late |= playing && now - turn > bufferNanos();
      turn = now;
      if (playing && play()) {
        lastPlayed = now;
      }
      if (capture()) {
        lastCaptured = now;
      }
      if (now - lastCaptured > timeout.toNanos()) {
        throw stalled("gives");
      }
      if (playing && now - lastPlayed > timeout.toNanos()) {
        throw stalled("takes");
      }
      clock.sleep(PAUSE);
    }
  }

  private InstrumentException stalled(String verb) {
    return new InstrumentException(
        Kind.UNREACHABLE,
        "the audio device "
            + verb
            + " no more samples; none moved for "
            + timeout.toMillis()
            + " ms (device unplugged, or sound server gone?)");
  }

  private long bufferNanos() {
    double seconds = outBuffer.length / outCodec.frameBytes() / out.getFormat().getFrameRate();
    return (long) (1e9 * seconds);
  }

  private boolean play() {
    int frames = Math.min(out.available(), outBuffer.length) / outCodec.frameBytes();
    if (frames <= 0) {
      return false;
    }
    int channels = out.getFormat().getChannels();
    Arrays.fill(outBuffer, 0, frames * outCodec.frameBytes(), (byte) 0);
    for (int i = 0; i < frames; i++) {
      for (int c = 0; c < channels; c++) {
        outCodec.put(outBuffer, i, c, outCodec.code(stretch.at(c, played + i)));
      }
    }
    int written = out.write(outBuffer, 0, frames * outCodec.frameBytes());
    played += Math.max(0, written) / outCodec.frameBytes();
    return written > 0;
  }

  private boolean capture() {
    int frames = Math.min(in.available(), inBuffer.length) / inCodec.frameBytes();
    int read = frames <= 0 ? 0 : in.read(inBuffer, 0, frames * inCodec.frameBytes());
    int taken = Math.max(0, read) / inCodec.frameBytes();
    if (stretch.recording != null) {
      stretch.recording.append(inBuffer, taken);
    }
    captured += taken;
    if (taken > 0) {
      captureClock.came(clock.nanos(), captured);
    }
    return read > 0;
  }
}
