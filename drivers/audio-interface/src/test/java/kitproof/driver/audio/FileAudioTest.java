package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import kitproof.driver.AudioInterface;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.InstrumentKind;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.AudioInterfaceContract;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.value.Signal;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FileAudioTest extends AudioInterfaceContract {
  @TempDir Path folder;
  @TempDir Path stimuli;

  @BeforeEach
  void captures() throws IOException {
    for (int i = 1; i <= 3; i++) {
      double[] left = new double[length()];
      Arrays.fill(left, 0.1 * i);
      double[] right = new double[length()];
      Arrays.fill(right, -0.1 * i);
      WavFile.of(WavEncoding.FLOAT_32, 48_000, left, right)
          .write(folder.resolve("capture-" + i + ".wav"));
    }
  }

  @Override
  public AudioInterface open() throws InstrumentException {
    return open("captures", folder.toString(), "stimuli", stimuli.toString());
  }

  private static AudioInterface open(Object... more) throws InstrumentException {
    Map<String, Object> settings =
        Nodes.map(
            "outputs", Nodes.map("drive", Nodes.map("channel", 1, "full-scale", "2 V peak")),
            "inputs",
                Nodes.map(
                    "right", Nodes.map("channel", 2, "full-scale", "20 V peak"),
                    "left", Nodes.map("channel", 1, "full-scale", "10 V")));
    settings.putAll(Nodes.map(more));
    return (AudioInterface)
        new AudioDriver()
            .open(
                InstrumentKind.AUDIO_INTERFACE,
                Nodes.settings(settings),
                new FakeContext(new SimulatedClock(java.time.Instant.EPOCH)));
  }

  @Test
  @DisplayName("Files come in the order of their names, their channels as mapped, in volts")
  void orderAndMapping() throws Exception {
    try (AudioInterface audio = open()) {
      for (int i = 1; i <= 3; i++) {
        Capture capture = audio.exchange(stimulus(100));
        assertThat(capture.signal().length()).isEqualTo(100);
        assertThat(capture.signal().at(0, 99)).isCloseTo(-2.0 * i, within(1e-6));
        assertThat(capture.signal().at(1, 99)).isCloseTo(Math.sqrt(2) * i, within(1e-6));
        assertThat(capture.clipped()).isFalse();
      }
      InstrumentException end = assertFails(Kind.RANGE, () -> audio.exchange(stimulus(100)));
      assertThat(end).hasMessageContaining("exchange 4");
    }
  }

  @Test
  @DisplayName("A list is taken in its own order")
  void list() throws Exception {
    try (AudioInterface audio =
        open(
            "captures",
            java.util.List.of(
                folder.resolve("capture-3.wav").toString(),
                folder.resolve("capture-1.wav").toString()))) {
      assertThat(audio.exchange(stimulus(1)).signal().at(0, 0)).isCloseTo(-6, within(1e-6));
      assertThat(audio.exchange(stimulus(1)).signal().at(0, 0)).isCloseTo(-2, within(1e-6));
    }
  }

  @Test
  @DisplayName("Each stimulus is written beside, at its fraction of full scale")
  void stimuliAreKept() throws Exception {
    try (AudioInterface audio = open()) {
      audio.exchange(Signal.of(48_000, new double[] {1, -2}));
      audio.exchange(Signal.of(48_000, new double[] {0.5}));
    }

    assertThat(WavFile.read(stimuli.resolve("stimulus-001.wav")).channel(0))
        .containsExactly(0.5, -1);
    assertThat(WavFile.read(stimuli.resolve("stimulus-002.wav")).channel(0)).containsExactly(0.25);
  }

  @Test
  @DisplayName("A capture of another rate, too short or too narrow is out of range")
  void unfit() throws Exception {
    Path file = folder.resolve("odd.wav");
    try (AudioInterface audio = open("captures", folder.resolve("capture-1.wav").toString())) {
      assertThat(assertFails(Kind.RANGE, () -> audio.exchange(stimulus(length() + 1))))
          .hasMessageContaining("found 4800 samples; expected at least 4801");
    }
    WavFile.of(WavEncoding.PCM_24, 96_000, new double[200], new double[200]).write(file);
    try (AudioInterface audio = open("captures", file.toString())) {
      assertThat(assertFails(Kind.RANGE, () -> audio.exchange(stimulus(100))))
          .hasMessageContaining("found 96000 Hz; expected 48000 Hz");
    }
    WavFile.of(WavEncoding.PCM_24, 48_000, new double[200]).write(file);
    try (AudioInterface audio = open("captures", file.toString())) {
      assertThat(assertFails(Kind.RANGE, () -> audio.exchange(stimulus(100))))
          .hasMessageContaining("found 1 channels");
    }
  }

  @Test
  @DisplayName("A broken capture is told as what it is, and does not count as an exchange")
  void broken() throws Exception {
    Path file = Files.writeString(folder.resolve("odd.wav"), "not a WAV file at all");
    try (AudioInterface audio = open("captures", file.toString())) {
      assertThat(assertFails(Kind.PROTOCOL, () -> audio.exchange(stimulus(100))))
          .hasMessageContaining("odd.wav: found ");
      WavFile.of(WavEncoding.PCM_24, 48_000, new double[200], new double[200]).write(file);
      assertThat(audio.exchange(stimulus(100)).signal().length()).isEqualTo(100);
    }
  }

  @Test
  @DisplayName("Clipping counts where it is used")
  void clipping() throws Exception {
    double[] left = new double[200];
    left[150] = -1;
    Path file = folder.resolve("clipped.wav");
    WavFile.of(WavEncoding.PCM_24, 48_000, left, new double[200]).write(file);
    try (AudioInterface audio =
        open("captures", java.util.List.of(file.toString(), file.toString()))) {
      assertThat(audio.exchange(stimulus(150)).clipped()).isFalse();
      assertThat(audio.exchange(stimulus(151)).clipped()).isTrue();
    }
  }

  private static Signal stimulus(int length) {
    return Signal.of(48_000, new double[length]);
  }
}
