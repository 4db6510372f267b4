package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import kitproof.driver.kit.Nodes;
import kitproof.value.Signal;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

class PassageTest {
  private static final int RATE = 8_000;
  private static final Marker MARKER = Marker.rising(RATE);

  @Test
  @DisplayName("The stimulus is played at the fraction of full scale that its volts are")
  void stimulus() {
    Passage passage = passage(Map.of(), new double[] {1, -2, 0.5}, new double[3]);
    int at = passage.stimulusAt();

    assertThat(passage.at(0, at)).isEqualTo(0.5);
    assertThat(passage.at(0, at + 1)).isEqualTo(-1);
    assertThat(passage.at(0, at + 2)).isEqualTo(0.25);
    assertThat(passage.at(0, at + 3)).isZero();
    assertThat(passage.at(0, at - 1)).isZero();
  }

  @Test
  @DisplayName("Markers stand before and after it on the outputs that it drives, on no other")
  void markers() {
    Passage passage = passage(Map.of("marker-level", "-20 dB"), new double[] {1, 1}, new double[2]);
    Marker falling = Marker.falling(RATE);
    int middle = MARKER.length() / 2;
    int lastMiddle = falling.length() / 2;

    assertThat(passage.marked()).isTrue();
    assertThat(passage.at(0, passage.markerAt() + middle))
        .isCloseTo(0.1 * MARKER.at(middle), within(1e-15));
    assertThat(passage.at(0, passage.secondMarkerAt() + lastMiddle))
        .isCloseTo(0.1 * falling.at(lastMiddle), within(1e-15));
    assertThat(peak(passage, 0, 0, passage.stimulusAt())).isBetween(0.09, 0.1);
    assertThat(peak(passage, 1, 0, passage.length())).isZero();
    assertThat(peak(passage, 2, 0, passage.length())).isZero();
  }

  @Test
  @DisplayName("With a reference output of its own the unit hears nothing but the stimulus")
  void reference() {
    Passage passage =
        passage(
            Map.of("reference", Map.of("input", 2, "output", 3)), new double[] {1}, new double[1]);

    assertThat(peak(passage, 2, 0, passage.stimulusAt())).isBetween(0.009, 0.01);
    assertThat(peak(passage, 0, 0, passage.stimulusAt())).isZero();
    assertThat(peak(passage, 0, passage.stimulusAt() + 1, passage.length())).isZero();
  }

  @Test
  @DisplayName("A silent stimulus goes without markers, unless the reference has its own output")
  void silence() {
    assertThat(passage(Map.of(), new double[9], new double[9]).marked()).isFalse();
    assertThat(
            passage(
                    Map.of("reference", Map.of("input", 2, "output", 3)),
                    new double[9],
                    new double[9])
                .marked())
        .isTrue();
  }

  @Test
  @DisplayName("Nothing is marked where nothing is aligned")
  void unaligned() {
    Passage passage = passage(Map.of("align", "none"), new double[] {1, 1}, new double[2]);

    assertThat(passage.marked()).isFalse();
    assertThat(peak(passage, 0, 0, passage.stimulusAt())).isZero();
  }

  @Test
  @DisplayName("It begins and ends in silence and the parts do not overlap")
  void layout() {
    Passage passage = passage(Map.of(), new double[100], new double[100]);

    assertThat(passage.markerAt()).isPositive();
    assertThat(passage.stimulusAt()).isGreaterThan(passage.markerAt() + MARKER.length());
    assertThat(passage.secondMarkerAt()).isGreaterThan(passage.stimulusAt() + 100);
    assertThat(passage.length())
        .isGreaterThan(passage.secondMarkerAt() + passage.second().length());
  }

  @Test
  @DisplayName("One that follows has no first marker, the same stimulus, and the second marker")
  void following() {
    Passage first = passage(Map.of(), new double[] {1, -2, 0.5}, new double[3]);
    Passage next = first.following(settings(Map.of()));

    assertThat(peak(next, 0, 0, next.stimulusAt())).isZero();
    for (int i = 0; i < first.length() - first.stimulusAt(); i++) {
      assertThat(next.at(0, next.stimulusAt() + i)).isEqualTo(first.at(0, first.stimulusAt() + i));
    }
    assertThat(first.length() - next.length()).isEqualTo(first.stimulusAt() - next.stimulusAt());
    Passage silent = passage(Map.of(), new double[9], new double[9]);
    assertThat(silent.following(settings(Map.of())).length()).isLessThan(next.length());
  }

  private static double peak(Passage passage, int channel, int from, int to) {
    double peak = 0;
    for (int i = from; i < to; i++) {
      peak = Math.max(peak, Math.abs(passage.at(channel, i)));
    }
    return peak;
  }

  private static Passage passage(Map<String, ?> more, double[] left, double[] right) {
    return Passage.of(settings(more), Signal.of(RATE, left, right));
  }

  private static LiveSettings settings(Map<String, ?> more) {
    Map<String, Object> settings =
        Nodes.map(
            "rate", "8 kHz",
            "outputs",
                Nodes.map(
                    "left", Map.of("channel", 1, "full-scale", "2 V peak"),
                    "right", Map.of("channel", 2, "full-scale", "4 V peak")),
            "inputs", Map.of("left", Map.of("channel", 1, "full-scale", "40 V")));
    settings.putAll(more);
    return LiveSettings.read(Nodes.settings(settings));
  }
}
