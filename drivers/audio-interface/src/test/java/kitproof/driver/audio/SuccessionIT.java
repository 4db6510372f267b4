package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.kit.InstrumentContract;
import kitproof.peer.SoundServer;
import kitproof.value.Signal;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

/** Exchanges one after another, as the tones and stairs of a step are. */
class SuccessionIT {
  private static final int RATE = 48_000;
  private static final double SECONDS = 0.1;

  private static SoundServer server;

  @BeforeAll
  static void start() {
    server = SoundServer.start();
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  @Test
  @DisplayName("What an exchange takes beyond its stimulus is the device's queue and the marker")
  void beyondTheStimulus() throws Exception {
    List<Double> first = new ArrayList<>();
    List<Double> following = new ArrayList<>();
    try (AudioInterface audio = Bench.open()) {
      for (int step = 0; step < 4; step++) {
        for (int i = 0; i < 4; i++) {
          (i == 0 ? first : following).add(beyond(audio));
        }
        audio.rest();
      }
    }
    System.out.printf(
        Locale.ROOT,
        "beyond a stimulus of 0.1 s: %.3f s the first of a step, %.3f s one that follows%n",
        Collections.min(first),
        Collections.min(following));
    // The quickest: others compute on the same processors.
    assertThat(Collections.min(following)).isLessThan(0.28);
    assertThat(Collections.min(first)).isLessThan(0.9);
  }

  private static double beyond(AudioInterface audio) throws Exception {
    double[] sine = Bench.sine((int) (SECONDS * RATE), 100, 0.5);
    long before = System.nanoTime();
    Signal captured = Bench.exchange(audio, Signal.of(RATE, sine, sine)).signal();
    double beyond = (System.nanoTime() - before) / 1e9 - SECONDS;
    assertThat(captured.at(0, 12)).isEqualTo(10 * Math.rint(sine[12] * 0x1p23) / 0x1p23);
    return beyond;
  }

  @Test
  @DisplayName("Between exchanges the lines play nothing but silence")
  void silentBetween() throws Exception {
    try (AudioInterface audio = Bench.open()) {
      Bench.exchange(audio, tone());
      byte[] heard = said("timeout 1", "parec", "--device=bench.monitor --raw --format=s32le");
      assertThat(heard.length).isGreaterThan(RATE);
      assertThat(heard).containsOnly(0);
      assertThat(Bench.exchange(audio, tone()).clipped()).isFalse();
    }
  }

  @Test
  @DisplayName("Lines are closed at rest, when made safe, after a failure and at the end")
  void closed() throws Exception {
    AudioInterface audio = Bench.open();
    assertThat(server.streams()).isZero();
    Bench.exchange(audio, tone());
    assertThat(server.streams()).isEqualTo(2);
    audio.rest();
    assertThat(server.streams()).isZero();
    Bench.exchange(audio, tone());
    audio.makeSafe();
    assertThat(server.streams()).isZero();
    Bench.exchange(audio, tone());
    server.insert("amp", "amp_mono", 0.0); // the loop is open: no marker comes back
    audio.rest();
    InstrumentContract.assertFails(Kind.PROTOCOL, () -> audio.exchange(tone()));
    assertThat(server.streams()).isZero();
    server.remove();
    Bench.exchange(audio, tone());
    audio.close();
    assertThat(server.streams()).isZero();
  }

  private static Signal tone() {
    double[] sine = Bench.sine((int) (SECONDS * RATE), 100, 0.5);
    return Signal.of(RATE, sine, sine);
  }

  private static byte[] said(String before, String client, String words) throws Exception {
    String command = before + " " + server.client(client) + " " + words;
    return new ProcessBuilder("sh", "-c", command).start().getInputStream().readAllBytes();
  }
}
