package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import kitproof.document.YamlReader;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.LoadRating;
import kitproof.value.Quantity;
import kitproof.value.Signal;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** What signals put into a load, told by what came back in the range and over the load of then. */
class RatedAudioTest implements RatedAudio.Loads, RatedAudio.Wait {
  private static final double RATE = 48_000;
  private static final double GAIN = 20;

  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final Bench bench =
      YamlReader.read("bench.yaml", FakeStation.BENCH).flatMap(BenchReader::read).value();
  private final Route tap = route("left 8 ohm tap");
  private final Route other = route("left other load");
  private final HeatBudget heat =
      new HeatBudget(
          Map.of(
              tap.name(), new LoadRating(Quantity.of(10, Unit.WATT), Duration.ofSeconds(60)),
              other.name(), new LoadRating(Quantity.of(10, Unit.WATT), Duration.ofSeconds(60))));
  private final List<String> notices = new ArrayList<>();
  private final List<Duration> pauses = new ArrayList<>();
  private List<Route> loads = List.of(tap);
  private double scale = 1;
  private boolean stopped;
  private final AudioInterface audio = new RatedAudio(unit(), heat, this, bench, this);

  private Route route(String name) {
    return bench.routes().stream().filter(r -> r.name().equals(name)).findFirst().orElseThrow();
  }

  /** A gain of 20, as the interface sees it through the range's attenuator. */
  private AudioInterface unit() {
    List<AudioPort> ports = List.of(new AudioPort("left", 10), new AudioPort("right", 10));
    return new FakeAudioInterface(
        new Calls(clock),
        "audio",
        new AudioPorts(RATE, ports, ports),
        stimulus -> {
          double[] left = stimulus.channel(0);
          Arrays.setAll(left, i -> GAIN * left[i] / scale);
          return Signal.of(RATE, left, stimulus.channel(1));
        });
  }

  /** Direct voltage as a signal, for its power is plain. */
  private void play(double volts, double seconds) throws InstrumentException {
    play(audio, volts, seconds);
  }

  private static void play(AudioInterface audio, double volts, double seconds)
      throws InstrumentException {
    double[] left = new double[(int) (seconds * RATE)];
    Arrays.fill(left, volts);
    var unused = audio.exchange(Signal.of(RATE, left, new double[left.length]));
  }

  private double mean(Route load) {
    return heat.meanWatts(load.name(), clock.nanos());
  }

  @Test
  void powerIsReckonedFromVoltsAtTheUnitWhateverRangeTheyCameThrough() throws Exception {
    play(0.4, 6); // 8 V in 8.02 ohm
    double once = 8 * 8 / 8.02 * (1 - Math.exp(-0.1));
    assertThat(mean(tap)).isCloseTo(once, within(1e-9));
    scale = 0.25;
    double cooled = mean(tap);
    play(0.4, 6);
    assertThat(mean(tap)).isCloseTo(cooled * Math.exp(-0.1) + once, within(1e-9));
    assertThat(pauses).isEmpty();
  }

  @Test
  void aLouderSignalWaitsAsLongAsWhatItWillDoNeeds() throws Exception {
    play(0.2, 30); // 4 V: 1.995 W, of which the average has seen 39 %
    double watts = 10 * 10 / 8.02; // 0.5 V will be 10 V
    double kept = Math.exp(-1);
    double left = (10 - watts * (1 - kept)) / kept; // what may be there before
    assertThat(mean(tap)).isLessThan(left);
    play(0.5, 60);
    assertThat(pauses).isEmpty();
    assertThat(mean(tap)).isLessThan(10);
    double before = mean(tap);
    play(0.5, 60);
    assertThat(pauses).hasSize(1);
    assertThat(pauses.get(0).toNanos() / 1e9).isCloseTo(60 * Math.log(before / left), within(1e-6));
    assertThat(notices).singleElement().asString().startsWith("load \"left 8 ohm tap\" cools for ");
    assertThat(mean(tap)).isCloseTo(10, within(1e-6));
  }

  @Test
  void anExchangedLoadHasItsOwnHeatAndItsOwnReckoning() throws Exception {
    play(0.2, 10);
    double first = mean(tap);
    loads = List.of(other); // 2 ohm: four times the power for the same drive
    play(0.2, 10);
    assertThat(mean(tap)).isCloseTo(first * Math.exp(-10 / 60.0), within(1e-9));
    assertThat(mean(other)).isCloseTo(4 * 4 / 2.0 * (1 - Math.exp(-10 / 60.0)), within(1e-9));
    // Ten times the drive: 800 W in the one, of which the other knows nothing.
    assertThatThrownBy(() -> play(2, 10))
        .isInstanceOf(InstrumentException.class)
        .hasMessageContaining("load \"left other load\" would take 800.0 W for 10.0 s");
    assertThat(pauses).isEmpty();
  }

  @Test
  void twoLoadsThatAreOneResistorHeatItTogether() throws Exception {
    LoadRating shared = new LoadRating(Quantity.of(10, Unit.WATT), Duration.ofSeconds(60), "R1");
    HeatBudget one = new HeatBudget(Map.of(tap.name(), shared, other.name(), shared));
    loads = List.of(tap, other);
    play(new RatedAudio(unit(), one, this, bench, this), 0.4, 6); // 8 V on 8.02 and on 2 ohm
    assertThat(one.meanWatts(tap.name(), clock.nanos()))
        .isCloseTo((64 / 8.02 + 64 / 2.0) * (1 - Math.exp(-0.1)), within(1e-9));
  }

  @Test
  void aStopEndsTheCooling() throws Exception {
    play(0.4, 60);
    play(0.4, 60);
    stopped = true;
    assertThatThrownBy(
            () -> {
              for (int i = 0; i < 10; i++) {
                play(0.45, 60);
              }
            })
        .isInstanceOf(InstrumentException.class)
        .hasMessage("stopped while a load cooled");
    assertThat(Thread.interrupted()).isTrue();
  }

  @Override
  public List<Route> loads() {
    return loads;
  }

  @Override
  public double inputScale() {
    return scale;
  }

  @Override
  public long benchNanos() {
    return clock.nanos();
  }

  @Override
  public double statedWatts() {
    return 0;
  }

  @Override
  public void notice(String text) {
    notices.add(text);
  }

  @Override
  public void pause(Duration duration) throws InterruptedException {
    if (stopped) {
      throw new InterruptedException();
    }
    pauses.add(duration);
    clock.sleep(duration);
  }
}
