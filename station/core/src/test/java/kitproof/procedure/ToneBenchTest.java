package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.BooleanSupplier;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Route;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Captures that lose samples now and then, as on a busy machine. */
class ToneBenchTest {
  private static final Band AUDIO = new Band(20, 20_000);
  private final List<String> notices = new ArrayList<>();
  private final List<Heard> shown = new ArrayList<>();
  private int exchanges;

  @Test
  void aCaptureThatLostSamplesIsTakenAgainAndTheOperatorIsToldHowOften() throws Exception {
    ToneBench.Shot shot = shot(() -> exchanges <= 3);

    assertThat(shot.good()).isPresent();
    assertThat(exchanges).isEqualTo(4);
    assertThat(notices)
        .containsExactly("samples were lost in 3 captures, one after another; taken again");
  }

  @Test
  void oneLossIsToldAsOne() throws Exception {
    assertThat(shot(() -> exchanges == 1).good()).isPresent();
    assertThat(notices).containsExactly("samples were lost in a capture; taken again");
  }

  @Test
  void captureAfterCaptureLostIsGivenUpAndNeverBecomesANumber() throws Exception {
    ToneBench.Shot shot = shot(() -> true);

    assertThat(shot.good()).isEmpty();
    assertThat(shot.figures()).isNull();
    assertThat(shot.trouble()).isEqualTo("samples were lost in the capture");
    assertThat(exchanges).isEqualTo(4);
    assertThat(notices)
        .containsExactly("samples were lost in 4 captures, one after another; given up");
  }

  @Test
  void aWholeCaptureIsTakenOnceWithoutAWord() throws Exception {
    assertThat(shot(() -> false).good()).isPresent();
    assertThat(exchanges).isEqualTo(1);
    assertThat(notices).isEmpty();
  }

  @Test
  void whatIsHeardIsShownToWhoeverWatches() throws Exception {
    assertThat(shot(() -> false).good()).isPresent();
    assertThat(shown).hasSize(2); // the capture's level, then what it shows of the tone
    assertThat(shown.get(0).figures()).isEmpty();
    assertThat(shown.get(0).tone()).isNull();
    Heard heard = shown.get(1);
    assertThat(heard.output().in(Unit.VOLT)).isCloseTo(5 / Math.sqrt(2), within(1e-6));
    assertThat(heard.tone().in(Unit.HERTZ)).isCloseTo(1000, within(1.0));
    assertThat(heard.power()).as("nobody has asked for the load").isNull();
    assertThat(heard.figures())
        .extracting(Heard.Figure::result)
        .as("of what comes back as it went there")
        .contains("gain", "thd+n");
    assertThat(heard.figures().get(0).value().in(Unit.DECIBEL)).isCloseTo(0, within(1e-6));
  }

  private ToneBench.Shot shot(BooleanSupplier loses) throws Exception {
    List<AudioPort> ports = List.of(new AudioPort("left", 10));
    FakeAudioInterface[] self = new FakeAudioInterface[1];
    self[0] =
        new FakeAudioInterface(
            new Calls(new SimulatedClock(Instant.EPOCH)),
            "audio",
            new AudioPorts(48_000, ports, ports),
            stimulus -> {
              exchanges++;
              if (loses.getAsBoolean()) {
                self[0].loseNext();
              }
              return stimulus;
            });
    ToneBench audio = ToneBench.of(new AudioOnly(self[0]), "audio");
    CoherentTone tone = audio.tone(1000, 0.1);
    return audio.play(tone, new double[] {5}, AUDIO, 3, Settle.AT_REST).get(0);
  }

  /** A step with an audio interface and nothing else. */
  private final class AudioOnly implements StepBench {
    private final AudioInterface audio;

    AudioOnly(AudioInterface audio) {
      this.audio = audio;
    }

    @Override
    public Conditions conditions() {
      return Conditions.NONE;
    }

    @Override
    public Meter meter(String role) {
      throw new IllegalStateException("no meter");
    }

    @Override
    public AudioInterface audio(String role) {
      return audio;
    }

    @Override
    public Quantity load(String channel) {
      return Quantity.of(8, Unit.OHM);
    }

    @Override
    public <T> T rerouted(List<String> routes, Work<T> work) {
      throw new IllegalStateException("no routes");
    }

    @Override
    public <T> Beside<T> readWhilePlaying(
        String meter, String function, Duration from, Duration every, Work<T> work) {
      throw new IllegalStateException("no meter");
    }

    @Override
    public List<Measurement> earlier() {
      return List.of();
    }

    @Override
    public void mains(Route.Purpose purpose) {
      throw new IllegalStateException("no mains");
    }

    @Override
    public Duration elapsed() {
      return Duration.ZERO;
    }

    @Override
    public void pause(Duration duration) {}

    @Override
    public boolean sample(String result, Quantity at, Quantity value) {
      throw new AssertionError("no curves against time here");
    }

    @Override
    public void breakOff(String why) {
      throw new AssertionError(why);
    }

    @Override
    public void discharged(String evidence) {
      throw new AssertionError(evidence);
    }

    @Override
    public void notShownDischarged(String why) {
      throw new AssertionError(why);
    }

    @Override
    public Operator operator(String role) throws InstrumentException {
      throw new InstrumentException(InstrumentException.Kind.RANGE, "nobody is there");
    }

    @Override
    public void heard(Heard heard) {
      shown.add(heard);
    }

    @Override
    public void answered(Question question, Answer answer) {}

    @Override
    public void stop(String reason) {}

    @Override
    public void notice(String text) {
      notices.add(text);
    }
  }
}
