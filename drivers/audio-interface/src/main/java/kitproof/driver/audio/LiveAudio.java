package kitproof.driver.audio;

import java.time.Duration;
import java.util.OptionalInt;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.BenchClock;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.value.Signal;
import org.jspecify.annotations.Nullable;

/**
 * A device of this machine that plays and captures.
 *
 * <p>The device is opened with the first exchange and runs on, playing silence, until it is put to
 * rest, which a station does at the end of each step and before it moves relays, or until anything
 * goes wrong. The delay from playing to capturing is another with each start, so it is found in the
 * first exchange after it, from a marker before the stimulus; see {@link Passage}.
 */
final class LiveAudio implements AudioInterface {
  private final LiveSettings settings;
  private final BenchClock clock;
  private final Worker worker = new Worker();
  private final Alignment alignment;
  private final Identity identity;
  private volatile @Nullable RunningLines running;
  private volatile boolean wanted;
  private volatile boolean givenUp;
  private volatile boolean closed;

  private LiveAudio(LiveSettings settings, BenchClock clock) throws InstrumentException {
    this.settings = settings;
    this.clock = clock;
    this.alignment = new Alignment(settings);
    this.identity = worker.call(settings.timeout(), () -> identify(settings));
  }

  /** Opens the device once, so that what is missing shows now. */
  static LiveAudio open(LiveSettings settings, BenchClock clock) throws InstrumentException {
    return new LiveAudio(settings, clock);
  }

  private static Identity identify(LiveSettings settings) throws InstrumentException {
    try (Lines lines = Lines.open(settings)) {
      return new Identity("", lines.device(), "", "");
    }
  }

  @Override
  public Identity identity() {
    return identity;
  }

  @Override
  public AudioPorts ports() {
    return settings.wiring().ports();
  }

  /** Whether lines are open. */
  boolean isOpen() {
    return running != null;
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    if (closed) {
      throw new InstrumentException(Kind.UNREACHABLE, "the audio interface is closed");
    }
    settings.wiring().requirePlayable(stimulus);
    Passage passage = Passage.of(settings, stimulus);
    double seconds = (passage.length() + alignment.longestDelay()) / ports().sampleRateHz();
    Duration deadline = settings.timeout().multipliedBy(2).plusNanos((long) (1e9 * seconds));
    wanted = true;
    givenUp = false;
    Alignment.Taken taken;
    try {
      taken = worker.call(deadline, () -> play(passage));
    } catch (InstrumentException e) {
      givenUp = true;
      throw e;
    }
    return found(taken);
  }

  /** Looks while the lines run on: a search in between would come too late to them. */
  private Capture found(Alignment.Taken taken) throws InstrumentException {
    Capture capture;
    try {
      capture = alignment.capture(taken);
    } catch (InstrumentException e) {
      try {
        rest();
      } catch (InstrumentException second) {
        e.addSuppressed(second);
      }
      throw e;
    }
    if (capture.lost()) {
      rest(); // what belongs together now is not known any more
    }
    return capture;
  }

  /** On the worker's thread: takes all in, then leaves the lines running. */
  private Alignment.Taken play(Passage whole) throws InstrumentException, InterruptedException {
    boolean runOn = false;
    try {
      RunningLines now = running;
      boolean fresh = now == null;
      if (now == null) {
        Lines lines = Lines.open(settings);
        now =
            new RunningLines(
                lines, new Transfer(lines, clock, settings.timeout(), () -> closed || givenUp));
        running = now;
      }
      Passage passage = now.mayFollow(whole) ? whole.following(settings) : whole;
      Recording recording =
          new Recording(
              new SampleCodec(now.lines().in().getFormat()),
              Devices.inputs(settings),
              passage.length() + 3 * alignment.longestDelay());
      Transfer transfer = now.transfer();
      transfer.take(passage, recording);
      if (fresh) {
        transfer.start();
      }
      Alignment.Taken taken = record(now, passage, recording);
      wanted = false;
      runOn = worker.meanwhile(() -> keepSilent(transfer));
      return taken;
    } finally {
      if (!runOn) {
        letGo();
      }
    }
  }

  private Alignment.Taken record(RunningLines now, Passage passage, Recording recording)
      throws InstrumentException, InterruptedException {
    Transfer transfer = now.transfer();
    int begun = transfer.begun();
    int end = begun + passage.length();
    int most = alignment.delayAtMost(now, passage);
    Alignment.Taken taken = new Alignment.Taken(now, passage, recording, begun);
    if (!passage.marked()) {
      boolean lost = transfer.recordCounting(begun + passage.stimulusAt(), end + most);
      boolean gap = transfer.late() && !passage.isSilent(); // of silence none is a gap
      return taken.whole(lost || gap, OptionalInt.empty());
    }
    if (passage.isFollowing()) {
      transfer.record(end + most);
      return taken;
    }
    EarlyDelay early = new EarlyDelay(alignment, taken, ports().sampleRateHz());
    transfer.record(() -> end + early.atMost());
    return taken.whole(false, early.found());
  }

  /** On the worker's thread, between exchanges. */
  private void keepSilent(Transfer transfer) {
    boolean runOn = false;
    try {
      transfer.keepSilent(() -> wanted);
      runOn = !transfer.late();
    } catch (InstrumentException e) {
      runOn = false; // the next exchange opens the device anew, and tells what is wrong with it
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      if (!runOn) {
        letGo();
      }
    }
  }

  /** On the worker's thread: closes the lines, if any are open. */
  private void letGo() {
    RunningLines now = running;
    if (now != null) {
      now.lines().close();
      running = null;
    }
  }

  /** Closes the device; the next exchange opens it again. */
  @Override
  public void rest() throws InstrumentException {
    if (isOpen() && !closed) {
      wanted = true;
      var unused =
          worker.call(
              settings.timeout(),
              () -> {
                letGo();
                return true;
              });
    }
  }

  @Override
  public void makeSafe() throws InstrumentException {
    rest();
  }

  @Override
  public void close() throws InstrumentException {
    if (!closed) {
      closed = true;
      worker.close(settings.timeout(), this::letGo);
    }
  }
}
