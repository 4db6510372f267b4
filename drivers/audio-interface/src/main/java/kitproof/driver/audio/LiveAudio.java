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
  /** The longest way from playing to capturing that is looked for, beside the buffers. */
  private static final double LONGEST_WAY_SECONDS = 0.2;

  /** How far the second marker may be from its place: noise moves it, losses move it further. */
  private static final int TOLERANCE = 1;

  private final LiveSettings settings;
  private final BenchClock clock;
  private final Worker worker = new Worker();
  private final Identity identity;
  private int lastDelay;
  private volatile boolean closed;

  private LiveAudio(LiveSettings settings, BenchClock clock) throws InstrumentException {
    this.settings = settings;
    this.clock = clock;
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
    Passage passage = Passage.of(settings, stimulus);
    double seconds = (passage.length() + longestDelay()) / ports().sampleRateHz();
    Duration deadline = settings.timeout().multipliedBy(2).plusNanos((long) (1e9 * seconds));
    return worker.call(deadline, () -> play(passage));
  }

  /**
   * Takes all in first and looks afterwards: a search meanwhile would come too late to the lines.
   */
  private Capture play(Passage passage) throws InstrumentException, InterruptedException {
    Recording recording;
    int primed;
    boolean late;
    try (Lines lines = Lines.open(settings)) {
      recording =
          new Recording(
              new SampleCodec(lines.in().getFormat()),
              Devices.inputs(settings),
              passage.length() + 2 * longestDelay());
      Transfer transfer =
          new Transfer(lines, passage, recording, clock, settings.timeout(), () -> closed);
      transfer.start();
      primed = transfer.primed();
      transfer.record(primed + longestDelay() + passage.length());
      late = transfer.late();
    }
    if (!passage.marked()) {
      return capture(passage, recording, primed + lastDelay, late);
    }
    Sought first = first(passage, recording, primed);
    int delay = first.position - passage.markerAt();
    lastDelay = delay - primed;
    return capture(passage, recording, delay, !isKept(passage, recording, first));
  }

  private Sought first(Passage passage, Recording recording, int primed)
      throws InstrumentException {
    int last = primed + passage.markerAt() + longestDelay();
    return seek(passage.first(), recording, primed, last + passage.first().length())
        .orElseThrow(
            () ->
                new InstrumentException(
                    Kind.PROTOCOL,
                    "the marker before the stimulus did not come back on "
                        + where()
                        + ": look at the wiring, at whether the drive is muted, and at"
                        + " marker-level; \"align: none\" goes without it"));
  }

  /** Whether the second marker is as far from the first as it was played. */
  private boolean isKept(Passage passage, Recording recording, Sought first) {
    int expected = first.position - passage.markerAt() + passage.secondMarkerAt();
    int length = passage.second().length();
    int from = expected - length;
    int to = Math.min(expected + 2 * length, recording.length());
    return passage
        .second()
        .find(recording.samples(first.channel, from, to))
        .filter(second -> Math.abs(from + second.position() - expected) <= TOLERANCE)
        .isPresent();
  }

  private record Sought(int channel, int position, double amplitude) {}

  /** The marker on the reference, or else on the input where it is loudest. */
  private Optional<Sought> seek(Marker marker, Recording recording, int from, int to) {
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

  /** A buffer on the way out, one on the way in, one for what comes between. */
  private int longestDelay() {
    return frames(LONGEST_WAY_SECONDS + 3 * settings.buffer().toNanos() / 1e9);
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
