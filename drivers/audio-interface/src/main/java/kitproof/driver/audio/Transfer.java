package kitproof.driver.audio;

import java.time.Duration;
import java.util.function.BooleanSupplier;
import javax.sound.sampled.SourceDataLine;
import javax.sound.sampled.TargetDataLine;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;

/**
 * Moves samples to and from an open device until enough were captured.
 *
 * <p>Asks the lines how much they can take and give and never lets them block: when a sound server
 * dies, Java Sound throws nothing and its lines call themselves running, but nothing moves any
 * more; when that lasts too long the device counts as lost.
 */
final class Transfer {
  private static final Duration PAUSE = Duration.ofMillis(5);

  private final SourceDataLine out;
  private final TargetDataLine in;
  private final SampleCodec outCodec;
  private final SampleCodec inCodec;
  private final Passage passage;
  private final Recording recording;
  private final BenchClock clock;
  private final Duration timeout;
  private final BooleanSupplier cancelled;
  private final byte[] outBuffer;
  private final byte[] inBuffer;
  private int played;
  private int primed;
  private boolean late;

  Transfer(
      Lines lines,
      Passage passage,
      Recording recording,
      BenchClock clock,
      Duration timeout,
      BooleanSupplier cancelled) {
    this.out = lines.out();
    this.in = lines.in();
    this.outCodec = new SampleCodec(out.getFormat());
    this.inCodec = new SampleCodec(in.getFormat());
    this.passage = passage;
    this.recording = recording;
    this.clock = clock;
    this.timeout = timeout;
    this.cancelled = cancelled;
    this.outBuffer = new byte[out.getBufferSize()];
    this.inBuffer = new byte[in.getBufferSize()];
  }

  /** Starts the capture and, once it gives samples, the playback. */
  void start() throws InstrumentException, InterruptedException {
    in.start();
    until(() -> recording.length() > 0, false);
    primed = recording.length();
    play();
    out.start();
  }

  /** Goes on until this many frames were captured. */
  void record(int frames) throws InstrumentException, InterruptedException {
    until(() -> recording.length() >= frames, true);
  }

  /** How many frames had been captured when playback started. */
  int primed() {
    return primed;
  }

  /**
   * Whether this program came back so late that a buffer may have run dry or over.
   *
   * <p>A hint; the proof is in the signal.
   */
  boolean late() {
    return late;
  }

  private void until(BooleanSupplier enough, boolean playing)
      throws InstrumentException, InterruptedException {
    long lastPlayed = clock.nanos();
    long lastCaptured = lastPlayed;
    long previous = lastPlayed;
    while (!enough.getAsBoolean()) {
      if (cancelled.getAsBoolean()) {
        throw new InstrumentException(Kind.UNREACHABLE, "the audio interface was closed meanwhile");
      }
      long now = clock.nanos();
      late |= playing && now - previous > bufferNanos();
      previous = now;
      if (playing && (played >= passage.length() || play())) {
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
    int frames =
        Math.min(
            Math.min(out.available(), outBuffer.length) / outCodec.frameBytes(),
            passage.length() - played);
    int channels = out.getFormat().getChannels();
    for (int i = 0; i < frames; i++) {
      for (int c = 0; c < channels; c++) {
        outCodec.put(outBuffer, i, c, outCodec.code(passage.at(c, played + i)));
      }
    }
    int written = frames <= 0 ? 0 : out.write(outBuffer, 0, frames * outCodec.frameBytes());
    played += written / outCodec.frameBytes();
    return written > 0;
  }

  private boolean capture() {
    int frames = Math.min(in.available(), inBuffer.length) / inCodec.frameBytes();
    int read = frames <= 0 ? 0 : in.read(inBuffer, 0, frames * inCodec.frameBytes());
    recording.append(inBuffer, Math.max(0, read) / inCodec.frameBytes());
    return read > 0;
  }
}
