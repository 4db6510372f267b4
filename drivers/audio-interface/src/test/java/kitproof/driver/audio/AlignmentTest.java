package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.Proxy;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.SourceDataLine;
import javax.sound.sampled.TargetDataLine;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.InstrumentContract;
import kitproof.driver.kit.Nodes;
import kitproof.value.Signal;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

/** What is made of a recording in which everything, or not everything, came back. */
class AlignmentTest {
  private static final int RATE = 8_000;
  private static final int DELAY = 777;
  private static final int BEGUN = 40;
  private static final AudioFormat FORMAT = new AudioFormat(RATE, 16, 1, true, false);

  private final LiveSettings settings = settings();
  private final Alignment alignment = new Alignment(settings);
  private final double[] stimulus = new Random(7).doubles(RATE / 2, -0.5, 0.5).toArray();
  private final Passage whole = Passage.of(settings, Signal.of(RATE, stimulus));
  private final RunningLines running = running();

  @Test
  @DisplayName("A whole passage is cut out to the sample")
  void whole() throws Exception {
    Capture capture = alignment.capture(taken(whole, recorded(whole)));
    assertThat(capture.lost()).isFalse();
    assertStimulus(capture);
  }

  @Test
  @DisplayName("One that follows comes as late as the last one, or something was lost")
  void following() throws Exception {
    alignment.capture(taken(whole, recorded(whole)));
    assertThat(running.mayFollow(whole)).isTrue();
    Passage next = whole.following(settings);
    assertThat(alignment.delayAtMost(running, next)).isEqualTo(DELAY);
    double[] came = recorded(next);
    Capture capture = alignment.capture(taken(next, came));
    assertThat(capture.lost()).isFalse();
    assertStimulus(capture);

    double[] late = new double[came.length];
    System.arraycopy(came, 0, late, 3, came.length - 3);
    assertThat(alignment.capture(taken(next, late)).lost()).isTrue();
  }

  @Test
  @DisplayName("Samples that are missing in the middle are lost, and so is a missing beginning")
  void lost() throws Exception {
    double[] came = recorded(whole);
    int middle = BEGUN + DELAY + whole.stimulusAt() + 1_000;
    double[] shorter = came.clone();
    System.arraycopy(came, middle + 50, shorter, middle, came.length - middle - 50);
    assertThat(alignment.capture(taken(whole, shorter)).lost()).isTrue();

    double[] headless = came.clone();
    Arrays.fill(headless, 0, BEGUN + DELAY + whole.stimulusAt() - 10, 0);
    assertThat(alignment.capture(taken(whole, headless)).lost()).isTrue();
  }

  @Test
  @DisplayName("What comes before it was played is of something else: the passage is lost")
  void tooEarly() throws Exception {
    int early = BEGUN + DELAY + whole.markerAt() - (BEGUN + 1);
    double[] came = recorded(whole);
    double[] stale = new double[came.length];
    System.arraycopy(came, early, stale, 0, came.length - early);
    assertThat(alignment.capture(taken(whole, stale)).lost()).isTrue();
    assertThat(running.mayFollow(whole)).isFalse();
    Capture capture = alignment.capture(taken(whole, came));
    assertThat(capture.lost()).isFalse();
    assertStimulus(capture);
  }

  @Test
  @DisplayName("Where nothing comes back, wiring and level are looked at")
  void nothing() {
    double[] silence = new double[recorded(whole).length];
    assertThat(
            InstrumentContract.assertFails(
                Kind.PROTOCOL, () -> alignment.capture(taken(whole, silence))))
        .hasMessageContaining("look at the wiring");
  }

  private void assertStimulus(Capture capture) {
    double step = Math.scalb(1.0, -15);
    for (int i = 0; i < stimulus.length; i++) {
      assertThat(capture.signal().at(0, i)).isEqualTo(Math.rint(stimulus[i] / step) * step);
    }
  }

  /** What comes in of it, with room behind. */
  private double[] recorded(Passage passage) {
    double[] came = new double[BEGUN + passage.length() + alignment.longestDelay()];
    for (int i = 0; i < passage.length(); i++) {
      came[BEGUN + DELAY + i] = passage.at(0, i);
    }
    return came;
  }

  private Alignment.Taken taken(Passage passage, double[] came) {
    SampleCodec codec = new SampleCodec(FORMAT);
    byte[] bytes = new byte[came.length * codec.frameBytes()];
    for (int i = 0; i < came.length; i++) {
      codec.put(bytes, i, 0, codec.code(came[i]));
    }
    Recording recording = new Recording(codec, List.of(0), came.length);
    recording.append(bytes, came.length);
    return new Alignment.Taken(running, passage, recording, BEGUN);
  }

  /** Of lines that nothing moves through here. */
  private static RunningLines running() {
    Lines lines = new Lines(line(SourceDataLine.class), line(TargetDataLine.class), "none");
    SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
    return new RunningLines(lines, new Transfer(lines, clock, Duration.ofSeconds(1), () -> false));
  }

  private static <T> T line(Class<T> type) {
    return type.cast(
        Proxy.newProxyInstance(
            type.getClassLoader(),
            new Class<?>[] {type},
            (proxy, method, arguments) ->
                method.getName().equals("getFormat") ? (Object) FORMAT : (Object) RATE));
  }

  private static LiveSettings settings() {
    Map<String, Object> port = Map.of("one", Map.of("channel", 1, "full-scale", "1 V peak"));
    return LiveSettings.read(
        Nodes.settings(Map.of("rate", "8 kHz", "bits", 16, "outputs", port, "inputs", port)));
  }
}
