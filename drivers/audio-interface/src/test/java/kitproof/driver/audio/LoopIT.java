package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Random;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.SourceDataLine;
import javax.sound.sampled.TargetDataLine;
import kitproof.driver.AudioInterface;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.kit.InstrumentContract;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.RealClock;
import kitproof.peer.SoundServer;
import kitproof.value.Signal;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The driver on a sound server that gives back what it is given. */
class LoopIT {
  private static SoundServer server;

  @BeforeAll
  static void start() {
    server = SoundServer.start();
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  @ParameterizedTest(name = "{0} bits at {1} Hz")
  @DisplayName("Every sample comes back as the nearest code of what was played, in its place")
  @CsvSource({
    "16, 48000", "24, 48000", "32, 48000",
    "16, 96000", "24, 96000", "32, 96000",
    "16, 192000", "24, 192000", "32, 192000"
  })
  void bitExact(int bits, int rate) throws Exception {
    Map<String, Object> settings = Bench.stereo();
    settings.put("bits", bits);
    settings.put("rate", rate + " Hz");
    Random random = new Random(bits + rate); // the case is the seed
    double[] left = random.doubles(rate / 4, -0.9, 0.9).toArray();
    double[] right = random.doubles(rate / 4, -0.9, 0.9).toArray();
    try (AudioInterface audio = Bench.open(settings)) {
      Capture capture = Bench.exchange(audio, Signal.of(rate, left, right));
      double step = Math.scalb(1.0, 1 - bits);
      for (int i = 0; i < left.length; i++) {
        assertThat(capture.signal().at(0, i)).isEqualTo(10 * (Math.rint(left[i] / step) * step));
        assertThat(capture.signal().at(1, i)).isEqualTo(10 * (Math.rint(right[i] / step) * step));
      }
    }
  }

  @ParameterizedTest(name = "{0} bits: THD+N below {1} dB")
  @DisplayName("A tone comes back with its level, its phase and no distortion but its bits'")
  // −98.1 dB and −146.2 dB are the quantising noise of a full-scale sine (6.02 n + 1.76, W. R.
  // Bennett, Spectra of Quantized Signals, 1948; from memory); the tone is 0.4 dB below.
  @CsvSource({"16, -97", "24, -145", "32, -190"})
  void tone(int bits, double floor) throws Exception {
    Map<String, Object> settings = Bench.stereo();
    settings.put("bits", bits);
    double[] sine = Bench.sine(48_000, 997, 0.95);
    try (AudioInterface audio = Bench.open(settings)) {
      Signal captured = Bench.exchange(audio, Signal.of(48_000, sine, sine)).signal();
      for (int channel = 0; channel < 2; channel++) {
        double[] samples = captured.channel(channel);
        assertThat(Bench.Part.of(samples, 997).peak()).isCloseTo(9.5, within(1e-5));
        assertThat(Bench.Part.of(samples, 997).degrees()).isCloseTo(0, within(1e-4));
        assertThat(Bench.residual(samples, 997)).isLessThan(floor);
      }
    }
  }

  @RepeatedTest(3) // each other test opens it anew as well, and looks at every sample
  @DisplayName("Sample 0 of the capture is sample 0 of the stimulus, run after run")
  void aligned() throws Exception {
    double[] steps = new double[4_800];
    steps[0] = 0.5;
    steps[4_799] = -0.25;
    try (AudioInterface audio = Bench.open()) {
      for (int run = 0; run < 2; run++) {
        Signal captured = Bench.exchange(audio, Signal.of(48_000, steps, steps)).signal();
        assertThat(captured.at(0, 0)).isEqualTo(5);
        assertThat(captured.at(1, 4_799)).isEqualTo(-2.5);
        assertThat(captured.at(0, 1)).isZero();
      }
    }
  }

  @Test
  @DisplayName("Names stand for the channels that they are mapped to")
  void mapping() throws Exception {
    Map<String, Object> settings =
        Nodes.map(
            "outputs",
                Nodes.map(
                    "tweeter", Nodes.map("channel", 2, "full-scale", "2 V peak"),
                    "woofer", Nodes.map("channel", 1, "full-scale", "4 V peak")),
            "inputs", Nodes.map("monitor", Nodes.map("channel", 2, "full-scale", "1 V")));
    double[] high = Bench.sine(4_800, 100, 1);
    double[] low = Bench.sine(4_800, 10, 1);
    try (AudioInterface audio = Bench.open(settings)) {
      double[] captured = Bench.exchange(audio, Signal.of(48_000, high, low)).signal().channel(0);
      assertThat(Bench.Part.of(captured, 100).peak()).isCloseTo(Math.sqrt(2) / 2, within(1e-6));
      assertThat(Bench.Part.of(captured, 10).peak()).isLessThan(1e-6);
    }
  }

  @Test
  @DisplayName("A stimulus that reaches full scale comes back as clipped, one below does not")
  void clipping() throws Exception {
    try (AudioInterface audio = Bench.open()) {
      double[] full = Bench.sine(4_800, 100, 1);
      double[] below = Bench.sine(4_800, 100, 0.999);
      assertThat(Bench.exchange(audio, Signal.of(48_000, below, full)).clipped()).isTrue();
      assertThat(Bench.exchange(audio, Signal.of(48_000, below, below)).clipped()).isFalse();
    }
  }

  @Test
  @DisplayName("A silent stimulus gives a silent capture, before and after others")
  void silence() throws Exception {
    double[] silent = new double[4_800];
    double[] sine = Bench.sine(4_800, 100, 0.5);
    try (AudioInterface audio = Bench.open()) {
      for (int run = 0; run < 2; run++) {
        Signal captured = audio.exchange(Signal.of(48_000, silent, silent)).signal();
        assertThat(captured.channel(0)).containsOnly(0);
        assertThat(captured.length()).isEqualTo(4_800);
        Bench.exchange(audio, Signal.of(48_000, sine, sine));
      }
    }
  }

  @Test
  @DisplayName("An output that the stimulus does not drive plays nothing at all")
  void undrivenOutput() throws Exception {
    try (AudioInterface audio = Bench.open()) {
      double[] sine = Bench.sine(4_800, 100, 0.5);
      Signal captured = Bench.exchange(audio, Signal.of(48_000, new double[4_800], sine)).signal();
      assertThat(captured.channel(0)).containsOnly(0);
      assertThat(Bench.Part.of(captured.channel(1), 100).peak()).isCloseTo(5, within(1e-5));
    }
  }

  @Test
  @DisplayName("A marker that does not come back fails the exchange, unless nothing is aligned")
  void mutedReturn() throws Exception {
    double[] sine = Bench.sine(4_800, 100, 0.5);
    double[] silent = new double[4_800];
    Map<String, Object> settings = Bench.stereo();
    settings.put("inputs", Nodes.map("left", Nodes.map("channel", 1, "full-scale", "10 V peak")));
    try (AudioInterface audio = Bench.open(settings)) {
      Signal rightOnly = Signal.of(48_000, silent, sine);
      InstrumentException failure =
          InstrumentContract.assertFails(Kind.PROTOCOL, () -> audio.exchange(rightOnly));
      assertThat(failure).hasMessageContaining("marker").hasMessageContaining("muted");
      Capture after = Bench.exchange(audio, Signal.of(48_000, sine, silent));
      assertThat(Bench.Part.of(after.signal().channel(0), 100).peak()).isCloseTo(5, within(1e-5));
    }
    settings.put("align", "none");
    try (AudioInterface audio = Bench.open(settings)) {
      Capture blind = audio.exchange(Signal.of(48_000, silent, sine));
      assertThat(blind.signal().channel(0)).containsOnly(0);
    }
  }

  @Test
  @DisplayName("With a reference of its own the capture is aligned though nothing else comes back")
  void reference() throws Exception {
    Map<String, Object> settings =
        Nodes.map(
            "outputs", Nodes.map("drive", Nodes.map("channel", 1, "full-scale", "1 V peak")),
            "inputs", Nodes.map("unit", Nodes.map("channel", 1, "full-scale", "10 V peak")),
            "reference", Nodes.map("input", 2, "output", 2));
    double[] step = new double[4_800];
    step[0] = 0.5;
    try (AudioInterface audio = Bench.open(settings)) {
      assertThat(Bench.exchange(audio, Signal.of(48_000, step)).signal().at(0, 0)).isEqualTo(5);
      Capture silent = Bench.exchange(audio, Signal.of(48_000, new double[4_800]));
      assertThat(silent.signal().channel(0)).containsOnly(0);
    }
  }

  @ParameterizedTest(name = "{0} bytes")
  @DisplayName("Samples of 24 bits come back to the last bit in three bytes and in four")
  @ValueSource(ints = {3, 4})
  void framesOfThreeAndFourBytes(int bytes) throws Exception {
    LiveSettings settings = LiveSettings.read(Nodes.settings(Bench.stereo()));
    AudioFormat format =
        Devices.fitting(TargetDataLine.class, settings).stream()
            .map(Devices.Offer::format)
            .filter(f -> f.getFrameSize() == 2 * bytes && !f.isBigEndian())
            .findFirst()
            .orElseThrow();
    double[] random =
        new Random(bytes).doubles(9_600, -0.9, 0.9).toArray(); // the bytes are the seed
    Passage passage = Passage.of(settings, Signal.of(48_000, random, random));
    Recording recording = new Recording(new SampleCodec(format), List.of(0, 1), 1);
    TargetDataLine in = AudioSystem.getTargetDataLine(format);
    SourceDataLine out = AudioSystem.getSourceDataLine(format);
    in.open(format, 4_800 * format.getFrameSize());
    out.open(format, 4_800 * format.getFrameSize());
    try (Lines lines = new Lines(out, in, "default")) {
      Transfer transfer = new Transfer(lines, new RealClock(), Duration.ofSeconds(3), () -> false);
      transfer.take(passage, recording);
      transfer.start();
      transfer.record(passage.length() + 24_000);
    }
    double[] all = recording.samples(1, 0, recording.length());
    int place = passage.first().find(all).orElseThrow().position();
    int from = place - passage.markerAt() + passage.stimulusAt();
    for (int i = 0; i < random.length; i++) {
      assertThat(all[from + i]).isEqualTo(Math.rint(random[i] * 0x1p23) / 0x1p23);
    }
  }

  @Test
  @DisplayName("What the device does not offer is out of range; an unknown device is not there")
  void notOffered() {
    Map<String, Object> settings = Bench.stereo();
    settings.put("inputs", Nodes.map("far", Nodes.map("channel", 64, "full-scale", "1 V")));
    InstrumentContract.assertFails(Kind.RANGE, () -> Bench.open(settings));
    Map<String, Object> misnamed = Bench.stereo();
    misnamed.put("output-device", "defualt [default]");
    assertThat(InstrumentContract.assertFails(Kind.UNREACHABLE, () -> Bench.open(misnamed)))
        .hasMessageContaining("did you mean \"default [default]\"");
  }

  @Test
  @DisplayName("The devices present are listed both ways")
  void present() {
    assertThat(new AudioDriver().present())
        .anyMatch(line -> line.startsWith("output \"default [default]\": "))
        .anyMatch(line -> line.startsWith("input \"default [default]\": "))
        .allMatch(line -> line.contains("24") && line.endsWith("Hz"));
  }
}
