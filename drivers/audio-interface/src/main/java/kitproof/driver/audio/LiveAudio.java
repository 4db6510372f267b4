package kitproof.driver.audio;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.BenchClock;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.value.Signal;

/**
 * A device of this machine that plays and captures.
 *
 * <p>The device is open only during an exchange, so that between two it plays nothing. The delay
 * from playing to capturing is another in each exchange, so it is found in each, from a marker
 * before the stimulus; see {@link Passage}.
 */
final class LiveAudio implements AudioInterface {
  /** The longest way from playing to capturing that is looked for. */
  private static final double LONGEST_DELAY_SECONDS = 1;

  /** How far the second marker may be from its place: noise moves it, losses move it further. */
  private static final int TOLERANCE = 1;

  private final LiveSettings settings;
  private final BenchClock clock;
  private final Marker marker;
  private final Worker worker = new Worker();
  private final Identity identity;
  private int lastDelay;
  private volatile boolean closed;

  private LiveAudio(LiveSettings settings, BenchClock clock) throws InstrumentException {
    this.settings = settings;
    this.clock = clock;
    this.marker = new Marker(settings.wiring().rate());
    this.lastDelay = frames(settings.latency().toNanos() / 1e9);
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

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    if (closed) {
      throw new InstrumentException(Kind.UNREACHABLE, "the audio interface is closed");
    }
    settings.wiring().requirePlayable(stimulus);
    Passage passage = Passage.of(settings, marker, stimulus);
    double seconds = passage.length() / (double) settings.wiring().rate() + LONGEST_DELAY_SECONDS;
    Duration deadline = settings.timeout().multipliedBy(2).plusNanos((long) (1e9 * seconds));
    return worker.call(deadline, () -> play(passage));
  }

  private Capture play(Passage passage) throws InstrumentException, InterruptedException {
    int room = passage.length() + frames(LONGEST_DELAY_SECONDS);
    try (Lines lines = Lines.open(settings)) {
      List<Integer> channels = Devices.inputs(settings);
      Recording recording = new Recording(new SampleCodec(lines.in().getFormat()), channels, room);
      Transfer transfer =
          new Transfer(lines, passage, recording, clock, settings.timeout(), () -> closed);
      transfer.start();
      return passage.marked()
          ? aligned(passage, recording, transfer)
          : unmarked(passage, recording, transfer);
    }
  }

  private Capture aligned(Passage passage, Recording recording, Transfer transfer)
      throws InstrumentException, InterruptedException {
    int window = passage.markerAt() + marker.length() + frames(LONGEST_DELAY_SECONDS);
    transfer.record(passage.length());
    Optional<Sought> found = seek(recording, 0, Math.min(window, recording.length()));
    if (found.isEmpty() && recording.length() < window) {
      transfer.record(window);
      found = seek(recording, 0, window);
    }
    Sought first =
        found.orElseThrow(
            () ->
                new InstrumentException(
                    Kind.PROTOCOL,
                    "the marker before the stimulus did not come back on "
                        + where()
                        + ": look at the wiring, at whether the drive is muted, and at"
                        + " marker-level; \"align: none\" goes without it"));
    int delay = first.position - passage.markerAt();
    if (delay < 0) {
      throw new InstrumentException(
          Kind.PROTOCOL, "the marker came back before it was played; the capture is not usable");
    }
    // A second marker that is late must still be seen whole to be told from a lost one.
    transfer.record(delay + passage.length());
    lastDelay = delay - transfer.primed();
    int expected = delay + passage.secondMarkerAt();
    int from = Math.max(first.position + 1, expected - marker.length());
    boolean kept =
        marker
            .find(recording.samples(first.channel, from, recording.length()))
            .filter(second -> Math.abs(from + second.position() - expected) <= TOLERANCE)
            .isPresent();
    return capture(passage, recording, delay, !kept);
  }

  private Capture unmarked(Passage passage, Recording recording, Transfer transfer)
      throws InstrumentException, InterruptedException {
    int delay = Math.max(0, transfer.primed() + lastDelay);
    transfer.record(delay + passage.length());
    return capture(passage, recording, delay, transfer.late());
  }

  private record Sought(int channel, int position, double amplitude) {}

  /** The marker on the reference, or else on the input where it is loudest. */
  private Optional<Sought> seek(Recording recording, int from, int to) {
    List<Integer> kept = Devices.inputs(settings);
    Optional<Sought> best = Optional.empty();
    for (int i = 0; i < kept.size(); i++) {
      int index = i;
      if (settings.reference().filter(r -> r.input() != kept.get(index)).isPresent()) {
        continue;
      }
      Optional<Sought> here =
          marker
              .find(recording.samples(index, from, to))
              .map(f -> new Sought(index, from + f.position(), f.amplitude()));
      if (here.isPresent() && (best.isEmpty() || here.get().amplitude > best.get().amplitude)) {
        best = here;
      }
    }
    return best;
  }

  private String where() {
    return settings
        .reference()
        .map(r -> "the reference, input channel " + (r.input() + 1))
        .orElse("any input");
  }

  private Capture capture(Passage passage, Recording recording, int delay, boolean lost) {
    int from = delay + passage.stimulusAt();
    int to = from + passage.stimulusLength();
    int inputs = ports().inputs().size();
    double[][] volts = new double[inputs][];
    boolean clipped = false;
    for (int i = 0; i < inputs; i++) {
      double fullScale = ports().inputs().get(i).fullScalePeakVolts();
      // The inputs come first among the channels kept, in their order.
      volts[i] = recording.samples(i, from, to);
      for (int k = 0; k < volts[i].length; k++) {
        volts[i][k] *= fullScale;
      }
      clipped |= recording.clipped(i, from, to);
    }
    return new Capture(Signal.of(ports().sampleRateHz(), volts), clipped, lost);
  }

  private int frames(double seconds) {
    return (int) Math.round(seconds * settings.wiring().rate());
  }

  /** Between exchanges nothing is open and nothing plays. */
  @Override
  public void makeSafe() {}

  @Override
  public void close() throws InstrumentException {
    if (!closed) {
      closed = true;
      worker.close(settings.timeout());
    }
  }
}
