package kitproof.driver.audio;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.value.Signal;

/**
 * What the device plays in one exchange: silence, marker, pause, stimulus, pause, marker, silence.
 *
 * <p>The first marker, rising, tells where the stimulus begins in the capture; the second, falling,
 * that nothing was lost or made up in between. A passage that follows one on lines that have run on
 * since needs no first marker: what came back as late then comes back as late now, and the second
 * one tells whether it did. Markers go out where the wire past the unit begins, or else on those
 * outputs that the stimulus drives: an output that is to stay silent stays silent, and a stimulus
 * that is silent altogether goes without markers.
 */
final class Passage {
  /** Lines that have just been started may swallow some of what comes first. */
  private static final double LEAD_SECONDS = 0.05;

  /** For the marker to die away in the unit before the stimulus. */
  private static final double PAUSE_SECONDS = 0.1;

  /** For the stimulus to die away in the marker's band before the marker. */
  private static final double SECOND_PAUSE_SECONDS = 0.02;

  /** By so much a second marker may be late and still be heard to be so. */
  private static final double TAIL_SECONDS = 0.01;

  private final Marker first;
  private final Marker second;
  private final double markerLevel;
  private final List<Integer> markerChannels;
  private final List<Integer> outputChannels;
  private final double[][] stimulus;
  private final boolean silent;
  private final boolean following;
  private final int lead;
  private final int pause;
  private final int secondPause;
  private final int tail;

  private Passage(
      LiveSettings settings,
      double[][] stimulus,
      List<Integer> markerChannels,
      boolean silent,
      boolean following) {
    double rate = settings.wiring().rate();
    this.first = Marker.rising(rate);
    this.second = Marker.falling(rate);
    this.markerLevel = settings.markerLevel();
    this.markerChannels = markerChannels;
    this.outputChannels = settings.wiring().outputChannels();
    this.stimulus = stimulus;
    this.silent = silent;
    this.following = following;
    this.lead = following ? 0 : (int) Math.round(LEAD_SECONDS * rate);
    this.pause = (int) Math.round(PAUSE_SECONDS * rate);
    this.secondPause = (int) Math.round(SECOND_PAUSE_SECONDS * rate);
    this.tail = (int) Math.round(TAIL_SECONDS * rate);
  }

  static Passage of(LiveSettings settings, Signal signal) {
    double[][] stimulus = new double[signal.channels()][];
    List<Integer> driven = new ArrayList<>();
    for (int i = 0; i < stimulus.length; i++) {
      double fullScale = settings.wiring().ports().outputs().get(i).fullScalePeakVolts();
      stimulus[i] = signal.channel(i);
      boolean silent = true;
      for (int k = 0; k < stimulus[i].length; k++) {
        stimulus[i][k] /= fullScale;
        silent &= stimulus[i][k] == 0;
      }
      if (!silent) {
        driven.add(settings.wiring().outputChannels().get(i));
      }
    }
    Optional<Integer> reference = settings.reference().flatMap(LiveSettings.Reference::output);
    List<Integer> markerChannels = reference.map(List::of).orElse(driven);
    boolean wanted = settings.align() == LiveSettings.Align.MARKER;
    return new Passage(
        settings, stimulus, wanted ? markerChannels : List.of(), driven.isEmpty(), false);
  }

  /** The same without the first marker and the pause after it. */
  Passage following(LiveSettings settings) {
    return new Passage(settings, stimulus, markerChannels, silent, true);
  }

  /** The marker before the stimulus. */
  Marker first() {
    return first;
  }

  /** The marker after the stimulus. */
  Marker second() {
    return second;
  }

  boolean marked() {
    return !markerChannels.isEmpty();
  }

  /** Whether nothing is driven. */
  boolean isSilent() {
    return silent;
  }

  /** Whether it goes without its first marker. */
  boolean isFollowing() {
    return following;
  }

  /** The device's channels that play the markers. */
  List<Integer> markerChannels() {
    return markerChannels;
  }

  /** The frame at which the first marker begins, whether or not it is played. */
  int markerAt() {
    return lead;
  }

  int stimulusAt() {
    return following ? 0 : lead + first.length() + pause;
  }

  int stimulusLength() {
    return stimulus[0].length;
  }

  int secondMarkerAt() {
    return stimulusAt() + stimulusLength() + secondPause;
  }

  /** Where the second marker ends, or a stimulus that follows without any; then all is silent. */
  int end() {
    return marked() || !following
        ? secondMarkerAt() + second.length()
        : stimulusAt() + stimulusLength();
  }

  int length() {
    return end() + tail;
  }

  /** What a channel of the device plays in a frame, ±1.0 at full scale. */
  double at(int deviceChannel, int frame) {
    double sum = 0;
    int output = outputChannels.indexOf(deviceChannel);
    int inStimulus = frame - stimulusAt();
    if (output >= 0 && inStimulus >= 0 && inStimulus < stimulusLength()) {
      sum = stimulus[output][inStimulus];
    }
    if (markerChannels.contains(deviceChannel)) {
      sum += following ? 0 : markerLevel * sample(first, frame - lead);
      sum += markerLevel * sample(second, frame - secondMarkerAt());
    }
    return sum;
  }

  private static double sample(Marker marker, int index) {
    return index >= 0 && index < marker.length() ? marker.at(index) : 0;
  }
}
