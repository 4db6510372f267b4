package kitproof.driver.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;

/** What holds for every audio interface, whatever it is connected to. */
public abstract class AudioInterfaceContract extends InstrumentContract<AudioInterface> {
  /** Samples of the stimuli; more if the interface under test needs it. */
  public int length() {
    return 4_800;
  }

  @Override
  void use(AudioInterface audio) throws InstrumentException {
    audio.exchange(level(audio.ports(), 0.01));
  }

  /** The same fraction of full scale on every output. */
  private Signal level(AudioPorts ports, double fraction) {
    double[][] channels = new double[ports.outputs().size()][length()];
    for (int i = 0; i < channels.length; i++) {
      Arrays.fill(channels[i], fraction * ports.outputs().get(i).fullScalePeakVolts());
    }
    return Signal.of(ports.sampleRateHz(), channels);
  }

  @Test
  void offersNamedPortsWithAFullScale() throws Exception {
    try (AudioInterface audio = open()) {
      AudioPorts ports = audio.ports();
      assertThat(ports.sampleRateHz()).isPositive();
      for (List<AudioPort> side : List.of(ports.outputs(), ports.inputs())) {
        assertThat(side).isNotEmpty();
        assertThat(side.stream().map(AudioPort::name)).doesNotHaveDuplicates();
        assertThat(side).allSatisfy(p -> assertThat(p.fullScalePeakVolts()).isPositive());
      }
    }
  }

  @Test
  void aCaptureHasTheStimulusLengthAndRateAndAChannelPerInput() throws Exception {
    try (AudioInterface audio = open()) {
      Capture capture = audio.exchange(level(audio.ports(), 0.01));
      assertThat(capture.signal().length()).isEqualTo(length());
      assertThat(capture.signal().sampleRateHz()).isEqualTo(audio.ports().sampleRateHz());
      assertThat(capture.signal().channels()).isEqualTo(audio.ports().inputs().size());
      assertThat(capture.lost()).isFalse();
    }
  }

  @Test
  void mayBePutToRestAgainAndAgainAndUsedAfterwards() throws Exception {
    try (AudioInterface audio = open()) {
      audio.rest();
      use(audio);
      use(audio);
      audio.rest();
      audio.rest();
      use(audio);
    }
  }

  @Test
  void anotherSampleRateIsOutOfRange() throws Exception {
    try (AudioInterface audio = open()) {
      double other = 2 * audio.ports().sampleRateHz();
      double[][] silence = new double[audio.ports().outputs().size()][length()];
      assertFails(InstrumentException.Kind.RANGE, () -> audio.exchange(Signal.of(other, silence)));
      use(audio);
    }
  }

  @Test
  void anotherNumberOfChannelsIsOutOfRange() throws Exception {
    try (AudioInterface audio = open()) {
      double[][] silence = new double[audio.ports().outputs().size() + 1][length()];
      assertFails(
          InstrumentException.Kind.RANGE,
          () -> audio.exchange(Signal.of(audio.ports().sampleRateHz(), silence)));
      use(audio);
    }
  }

  @Test
  void aStimulusBeyondFullScaleIsOutOfRange() throws Exception {
    try (AudioInterface audio = open()) {
      assertFails(InstrumentException.Kind.RANGE, () -> audio.exchange(level(audio.ports(), 1.01)));
      use(audio);
    }
  }
}
