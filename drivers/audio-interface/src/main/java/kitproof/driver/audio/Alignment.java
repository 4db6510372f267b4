package kitproof.driver.audio;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.value.Signal;

/** Finds a passage's stimulus in what was recorded, and whether all of it is there. */
final class Alignment {
  /** The longest way from playing to capturing that is looked for, beside the buffers. */
  private static final double LONGEST_WAY_SECONDS = 0.2;

  /** How far the second marker may be from its place: noise moves it, losses move it further. */
  private static final int TOLERANCE = 1;

  private final LiveSettings settings;
  private int lastDelay;

  Alignment(LiveSettings settings) {
    this.settings = settings;
    this.lastDelay = frames(settings.latency().toNanos() / 1e9);
  }

  /**
   * What came in while a passage was played.
   *
   * @param begun the frame of the recording at which playing would have come back that takes no
   *     time
   * @param late whether something may have been lost, where no marker tells
   * @param delay how late it came back, if that has been found already; frames
   */
  record Taken(
      RunningLines running,
      Passage passage,
      Recording recording,
      int begun,
      boolean late,
      OptionalInt delay) {
    /** Nothing is known of losses and of the delay yet. */
    Taken(RunningLines running, Passage passage, Recording recording, int begun) {
      this(running, passage, recording, begun, false, OptionalInt.empty());
    }

    /** The same with what has come in until now, for another thread. */
    Taken until() {
      return new Taken(running, passage, recording.copy(), begun, late, delay);
    }

    /** The same at the end. */
    Taken whole(boolean lost, OptionalInt found) {
      return new Taken(running, passage, recording, begun, lost, found);
    }
  }

  /** A buffer on the way out, one on the way in, one for what comes between; frames. */
  int longestDelay() {
    return frames(LONGEST_WAY_SECONDS + 3 * settings.buffer().toNanos() / 1e9);
  }

  /** How long the way may be at most, for all of a passage to be there; frames. */
  int delayAtMost(RunningLines running, Passage passage) {
    return passage.marked() && !passage.isFollowing()
        ? longestDelay()
        : running.delay().orElse(lastDelay);
  }

  /**
   * The capture.
   *
   * @throws InstrumentException PROTOCOL if the marker did not come back
   */
  Capture capture(Taken taken) throws InstrumentException {
    Passage passage = taken.passage;
    if (!passage.marked()) {
      return capture(taken, taken.running.delay().orElse(lastDelay), taken.late);
    }
    if (passage.isFollowing()) {
      int delay = taken.running.delay().orElseThrow();
      return capture(taken, delay, !isKept(taken, delay));
    }
    OptionalInt found = taken.delay.isPresent() ? taken.delay : delay(taken);
    if (found.isEmpty()) {
      if (second(taken, taken.begun, longestDelay()).isEmpty()) {
        throw unheard();
      }
      return capture(taken, lastDelay, true); // the end of it came back: its beginning was lost
    }
    int delay = found.getAsInt();
    if (delay < 0) {
      return capture(taken, lastDelay, true); // nothing comes back before it is played
    }
    lastDelay = delay;
    taken.running.learn(delay, passage.markerChannels());
    return capture(taken, delay, !isKept(taken, delay));
  }

  /** How late the first marker came back, if it is in the recording; frames. */
  OptionalInt delay(Taken taken) {
    Marker marker = taken.passage.first();
    int at = taken.begun + taken.passage.markerAt();
    return seek(marker, taken.recording, taken.begun, at + longestDelay() + marker.length())
        .map(sought -> OptionalInt.of(sought.position - at))
        .orElse(OptionalInt.empty());
  }

  private InstrumentException unheard() {
    return new InstrumentException(
        Kind.PROTOCOL,
        "the marker before the stimulus did not come back on "
            + where()
            + ": look at the wiring, at whether the drive is muted, and at marker-level;"
            + " \"align: none\" goes without it");
  }

  /** Whether the second marker is where it was played. */
  private boolean isKept(Taken taken, int delay) {
    int expected = taken.begun + delay + taken.passage.secondMarkerAt();
    int length = taken.passage.second().length();
    return second(taken, taken.begun + delay - length, length)
        .filter(second -> Math.abs(second.position - expected) <= TOLERANCE)
        .isPresent();
  }

  /**
   * The second marker in the recording.
   *
   * @param from where the passage may begin at the earliest
   * @param reach how much later it may begin, frames
   */
  private Optional<Sought> second(Taken taken, int from, int reach) {
    Marker marker = taken.passage.second();
    int earliest = from + taken.passage.secondMarkerAt();
    int end = Math.min(earliest + reach + 2 * marker.length(), taken.recording.length());
    return seek(marker, taken.recording, earliest, end);
  }

  private record Sought(int position, double amplitude) {}

  /** The marker on the reference, or else on the input where it is loudest. */
  private Optional<Sought> seek(Marker marker, Recording recording, int earliest, int to) {
    int from = Math.max(0, earliest);
    if (to - from < marker.length()) {
      return Optional.empty();
    }
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
              .map(f -> new Sought(from + f.position(), f.amplitude()));
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

  private Capture capture(Taken taken, int delay, boolean lost) {
    int from = taken.begun + delay + taken.passage.stimulusAt();
    int to = from + taken.passage.stimulusLength();
    AudioPorts ports = settings.wiring().ports();
    int inputs = ports.inputs().size();
    double[][] volts = new double[inputs][];
    boolean clipped = false;
    for (int i = 0; i < inputs; i++) {
      double fullScale = ports.inputs().get(i).fullScalePeakVolts();
      // The inputs come first among the channels kept, in their order.
      volts[i] = taken.recording.samples(i, from, to);
      for (int k = 0; k < volts[i].length; k++) {
        volts[i][k] *= fullScale;
      }
      clipped |= taken.recording.clipped(i, from, to);
    }
    boolean all = from >= 0 && to <= taken.recording.length();
    return new Capture(Signal.of(ports.sampleRateHz(), volts), clipped, lost || !all);
  }

  private int frames(double seconds) {
    return (int) Math.round(seconds * settings.wiring().rate());
  }
}
