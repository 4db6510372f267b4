package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import kitproof.driver.AudioInterface;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.kit.InstrumentContract;
import kitproof.peer.SoundServer;
import kitproof.value.Signal;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

/** A sound server that dies, hangs or stumbles. */
class SoundLossIT {
  private static final int RATE = 48_000;
  private SoundServer server;

  @BeforeEach
  void start() {
    server = SoundServer.start();
  }

  @AfterEach
  void stop() {
    server.thaw();
    server.close();
  }

  @Test
  @DisplayName("A server killed in the middle is told in time; a new one is used again")
  void killed() throws Exception {
    try (AudioInterface audio = Bench.open(impatient())) {
      CompletableFuture<Void> killer = later(700, server::kill);
      long before = System.nanoTime();
      InstrumentContract.assertFails(Kind.UNREACHABLE, () -> audio.exchange(seconds(5)));
      assertThat(Duration.ofNanos(System.nanoTime() - before)).isLessThan(Duration.ofSeconds(5));
      killer.get(20, TimeUnit.SECONDS);
      InstrumentContract.assertFails(Kind.UNREACHABLE, () -> audio.exchange(seconds(1)));
      InstrumentContract.assertFails(Kind.UNREACHABLE, () -> Bench.open(impatient()).close());

      server = SoundServer.start();
      assertThat(Bench.exchange(audio, seconds(1)).signal().length()).isEqualTo(RATE);
    }
  }

  @Test
  @DisplayName("A server that hangs for good is told in time, and so is each call after that")
  void frozen() throws Exception {
    AudioInterface audio = Bench.open(impatient());
    later(700, server::freeze);
    long before = System.nanoTime();
    InstrumentException failure = null;
    try {
      audio.exchange(seconds(2));
    } catch (InstrumentException e) {
      failure = e;
    }
    assertThat(failure).isNotNull();
    assertThat(failure.kind()).isIn(Kind.UNREACHABLE, Kind.TIMEOUT);
    assertThat(Duration.ofNanos(System.nanoTime() - before)).isLessThan(Duration.ofSeconds(8));
    InstrumentContract.assertFails(Kind.UNREACHABLE, () -> audio.exchange(seconds(1)));
    InstrumentContract.assertFails(Kind.TIMEOUT, audio::close);
  }

  @Test
  @DisplayName("A server that stumbles in the middle loses samples, and the capture says so")
  void stumbles() throws Exception {
    try (AudioInterface audio = Bench.open()) {
      CompletableFuture<Void> stumble =
          later(1_000, server::freeze).thenRun(() -> sleep(400)).thenRun(server::thaw);
      Capture capture = audio.exchange(seconds(2));
      stumble.get(10, TimeUnit.SECONDS);
      assertThat(capture.lost()).isTrue();
      assertThat(capture.signal().length()).isEqualTo(2 * RATE);
      assertThat(Bench.exchange(audio, seconds(1)).signal().length()).isEqualTo(RATE);
    }
  }

  @Test
  @DisplayName("Samples lost in a silent capture are missed, though no marker tells of them")
  void lostInSilence() throws Exception {
    Signal silence = Signal.of(RATE, new double[3 * RATE], new double[3 * RATE]);
    try (AudioInterface audio = Bench.open()) {
      assertThat(Bench.exchange(audio, silence).signal().channel(0)).containsOnly(0);
      audio.rest();
      CompletableFuture<Void> loser =
          CompletableFuture.runAsync(
              () -> {
                while (server.streams() < 2) {
                  sleep(10);
                }
                sleep(1_000); // the capture lasts three
                server.suspend();
                sleep(200); // it cannot end while the card stands still
                server.resume();
              });
      Capture capture = audio.exchange(silence);
      loser.get(20, TimeUnit.SECONDS);
      assertThat(capture.lost()).isTrue();
      assertThat(Bench.exchange(audio, silence).signal().length()).isEqualTo(3 * RATE);
    }
  }

  @Test
  @DisplayName("A server that dies between two exchanges is told by the next one, in time")
  void killedBetween() throws Exception {
    try (AudioInterface audio = Bench.open(impatient())) {
      Bench.exchange(audio, seconds(1));
      server.kill();
      long before = System.nanoTime();
      InstrumentContract.assertFails(Kind.UNREACHABLE, () -> audio.exchange(seconds(1)));
      assertThat(Duration.ofNanos(System.nanoTime() - before)).isLessThan(Duration.ofSeconds(5));
      server = SoundServer.start();
      assertThat(Bench.exchange(audio, seconds(1)).signal().length()).isEqualTo(RATE);
    }
  }

  @Test
  @DisplayName("Closing from another thread frees an exchange at once")
  void closedMeanwhile() throws Exception {
    AudioInterface audio = Bench.open();
    CompletableFuture<Void> closer = later(700, () -> close(audio));
    long before = System.nanoTime();
    InstrumentContract.assertFails(Kind.UNREACHABLE, () -> audio.exchange(seconds(20)));
    assertThat(Duration.ofNanos(System.nanoTime() - before)).isLessThan(Duration.ofSeconds(5));
    closer.get(10, TimeUnit.SECONDS);
  }

  private static Map<String, Object> impatient() {
    Map<String, Object> settings = Bench.stereo();
    settings.put("timeout", "1 s");
    return settings;
  }

  private static Signal seconds(int seconds) {
    double[] tone = Bench.sine(seconds * RATE, seconds * 997, 0.5);
    return Signal.of(RATE, tone, tone);
  }

  private static CompletableFuture<Void> later(int milliseconds, Runnable work) {
    return CompletableFuture.runAsync(
        work, CompletableFuture.delayedExecutor(milliseconds, TimeUnit.MILLISECONDS));
  }

  private static void sleep(int milliseconds) {
    try {
      Thread.sleep(milliseconds);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static void close(AudioInterface audio) {
    try {
      audio.close();
    } catch (InstrumentException e) {
      throw new AssertionError(e);
    }
  }
}
