package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
import kitproof.driver.InstrumentKind;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.ProviderContract;
import kitproof.value.Problem;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AudioDriverTest extends ProviderContract {
  @TempDir Path folder;

  @BeforeEach
  void oneCapture() throws IOException {
    WavFile.of(WavEncoding.PCM_16, 48_000, new double[10]).write(folder.resolve("a.wav"));
  }

  @Override
  public DriverProvider provider() {
    return new AudioDriver();
  }

  @Override
  public List<Example> examples() {
    Map<String, Object> live = ports();
    live.put("bits", 16);
    live.put("rate", "192 kHz");
    live.put("output-device", "default");
    live.put("input-device", "default");
    live.put("marker-level", "-20 dB");
    live.put("reference", Map.of("input", 2, "output", 3));
    live.put("buffer", "50 ms");
    live.put("timeout", "1 s");
    Map<String, Object> blind = ports();
    blind.put("align", "none");
    blind.put("latency", "12 ms");
    Map<String, Object> files = ports();
    files.put("captures", folder.toString());
    files.put("stimuli", folder.toString());
    return List.of(example(live), example(blind), example(files));
  }

  @Test
  @DisplayName("Ports are needed, each with a channel of its own and a full scale in volts")
  void ports_() {
    assertProblems(Map.of(), "outputs", "inputs");
    Map<String, Object> settings = ports();
    settings.put("outputs", Nodes.map("left", Nodes.map("full-scale", "2 V")));
    assertProblems(settings, "channel");
    settings.put("outputs", Nodes.map("left", Nodes.map("channel", 1)));
    assertProblems(settings, "full-scale");
    settings.put(
        "outputs",
        Nodes.map(
            "left", Nodes.map("channel", 1, "full-scale", "0 V"),
            "right", Nodes.map("channel", 1, "full-scale", "2 V", "gain", 3)));
    assertProblems(settings, "full-scale", "channel", "gain");
  }

  @Test
  @DisplayName("Values beyond what the driver can do are told, all at once and in their places")
  void values() {
    Map<String, Object> settings = ports();
    settings.put("rate", "384 kHz");
    settings.put("bits", 20);
    settings.put("align", "markr");
    settings.put("marker-level", "3 dB");
    settings.put("buffer", "1 ms");
    settings.put("timeout", "-1 s");
    List<Problem> problems =
        assertProblems(settings, "rate", "bits", "align", "marker-level", "buffer", "timeout");
    assertThat(problems.get(2).nearest()).isEqualTo("marker");
    assertThat(problems.get(0).location().line()).isLessThan(problems.get(5).location().line());
  }

  @Test
  @DisplayName("Settings that contradict one another are told")
  void contradictions() {
    Map<String, Object> settings = ports();
    settings.put("latency", "12 ms");
    assertProblems(settings, "latency");
    settings.put("align", "none");
    settings.put("reference", Nodes.map("input", 2));
    assertProblems(settings, "reference");
    settings.remove("align");
    settings.remove("latency");
    settings.put("reference", Nodes.map("output", 1));
    assertProblems(settings, "input", "output");
  }

  @Test
  @DisplayName("Settings of a device have no place beside captures from files")
  void deviceSettingsBesideFiles() {
    Map<String, Object> settings = ports();
    settings.put("captures", folder.toString());
    settings.put("bits", 24);
    settings.put("align", "none");
    assertProblems(settings, "bits", "align");
  }

  @Test
  @DisplayName("Captures that are missing, broken, or of another rate or form are told")
  void captures() throws IOException {
    Path empty = Files.createDirectory(folder.resolve("empty"));
    Path broken = Files.writeString(folder.resolve("broken.wav"), "RIFF");
    Path slow = folder.resolve("slow.wav");
    WavFile.of(WavEncoding.PCM_16, 44_100, new double[10]).write(slow);
    assertThat(expected(folder.resolve("none.wav"))).contains("none.wav");
    assertThat(expected(empty)).contains("a folder with WAV files in it");
    assertThat(expected(broken)).contains("ends after 4 bytes");
    assertThat(expected(slow)).contains("found 44100 Hz; expected 48000 Hz");
    Map<String, Object> settings = ports();
    settings.put("inputs", Nodes.map("left", Nodes.map("channel", 2, "full-scale", "40 V")));
    settings.put("captures", List.of(folder.resolve("a.wav").toString()));
    assertThat(check(settings).get(0).expected()).contains("found 1 channels; expected at least 2");
    settings = ports();
    settings.put("captures", List.of(folder.resolve("a.wav").toString()));
    settings.put("stimuli", folder.resolve("nowhere").toString());
    assertProblems(settings, "stimuli");
  }

  private String expected(Path captures) {
    Map<String, Object> settings = ports();
    settings.put("captures", captures.toString());
    List<Problem> problems = check(settings);
    assertThat(problems).isNotEmpty();
    return problems.stream().map(Problem::expected).toList().toString();
  }

  /** One problem for each key, in this order, whose phrase names the key. */
  private static List<Problem> assertProblems(Map<String, ?> settings, String... keys) {
    List<Problem> problems = check(settings);
    assertThat(problems).as(problems.toString()).hasSameSizeAs(keys);
    for (int i = 0; i < keys.length; i++) {
      assertThat(problems.get(i).toString()).contains(keys[i]);
    }
    return problems;
  }

  private static List<Problem> check(Map<String, ?> settings) {
    return new AudioDriver()
        .check(InstrumentKind.AUDIO_INTERFACE, Nodes.settings(settings), List.of());
  }

  private static Map<String, Object> ports() {
    return Nodes.map(
        "outputs", Nodes.map("left", Nodes.map("channel", 1, "full-scale", "2 V")),
        "inputs", Nodes.map("left", Nodes.map("channel", 1, "full-scale", "56 V peak")));
  }

  private static Example example(Map<String, ?> settings) {
    return new Example(InstrumentKind.AUDIO_INTERFACE, settings, List.of());
  }
}
