package kitproof.driver.simulated;

import static kitproof.driver.kit.InstrumentContract.assertFails;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.AudioInterface;
import kitproof.driver.BenchClock;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.driver.Switcher;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.value.Quantity;
import kitproof.value.Signal;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** The instruments together, around one unit, at the bench's time. */
class BenchTest {
  private final Roles roles = new Roles("LN12-001");

  private static Signal tone(double volts, int length) {
    double[] left = new double[length];
    for (int i = 0; i < length; i++) {
      left[i] = volts * Math.sqrt(2) * Math.sin(2 * Math.PI * i / 96);
    }
    return Signal.of(96_000, left, new double[length]);
  }

  private static double rms(Signal signal, int channel) {
    double sum = 0;
    int from = signal.length() / 2;
    for (int i = from; i < signal.length(); i++) {
      sum += signal.at(channel, i) * signal.at(channel, i);
    }
    return Math.sqrt(sum / (signal.length() - from));
  }

  @Test
  void relaysActOnWhatMetersAndAudioSee() throws Exception {
    try (Switcher switcher = roles.switcher();
        Meter meter = roles.meter();
        AudioInterface audio = roles.audio()) {
      assertThat(Roles.value(meter, "hv")).isCloseTo(0, within(0.01));
      switcher.select("mains direct");
      roles.clock.sleep(Duration.ofSeconds(30));
      assertThat(Roles.value(meter, "hv")).isBetween(325.0, 340.0);
      assertThat(Roles.value(meter, "power")).isBetween(60.0, 90.0);
      assertThat(Roles.value(meter, "heater")).isCloseTo(6.3, within(0.1));
      double v3 = Roles.value(meter, "dc");
      assertThat(v3).isBetween(8.0, 9.5);
      switcher.select("cathode V4");
      assertThat(Roles.value(meter, "dc")).isBetween(8.0, 9.5).isNotCloseTo(v3, within(0.02));
      switcher.select("heater");
      assertThat(Roles.value(meter, "ac")).isCloseTo(6.3, within(0.1));

      assertThat(rms(audio.exchange(tone(0.1, 9_600)).signal(), 0)).isLessThan(1e-3);
      switcher.select("drive left");
      double eight = rms(audio.exchange(tone(0.1, 9_600)).signal(), 0);
      assertThat(eight).isCloseTo(2.3, within(0.15));
      switcher.select("left 4 ohm tap");
      double four = rms(audio.exchange(tone(0.1, 9_600)).signal(), 0);
      assertThat(four / eight).isCloseTo(Math.sqrt(0.5), within(0.01));
      switcher.openAll();
      roles.clock.sleep(Duration.ofSeconds(60));
      assertThat(Roles.value(meter, "hv")).isBetween(5.0, 60.0);
    }
  }

  @Test
  void readingAndPlayingPassTheirTime() throws Exception {
    try (Switcher switcher = roles.switcher();
        Meter meter = roles.meter();
        AudioInterface audio = roles.audio()) {
      assertThat(switcher.closed()).isEmpty();
      long start = roles.clock.nanos();
      meter.read("hv");
      assertThat(roles.clock.nanos() - start).isEqualTo(60_000_000);
      start = roles.clock.nanos();
      audio.exchange(tone(0.1, 96_000));
      assertThat(roles.clock.nanos() - start).isBetween(1_000_000_000L, 1_001_000_000L);
    }
  }

  @Test
  void beyondItsRangeAMeterSaysOverload() throws Exception {
    try (Switcher switcher = roles.switcher();
        Meter meter = roles.meter()) {
      switcher.select("mains limited");
      roles.clock.sleep(Duration.ofSeconds(2));
      assertThat(meter.read("low-range")).isEqualTo(new Reading.Overload(false));
      assertThat(meter.read("hv")).isInstanceOf(Reading.Value.class);
    }
  }

  @Test
  void aCaptureThatReachesFullScaleIsFlagged() throws Exception {
    try (Switcher switcher = roles.switcher()) {
      AudioInterface small =
          (AudioInterface)
              new SimulatedBenchProvider()
                  .open(
                      InstrumentKind.AUDIO_INTERFACE,
                      Nodes.settings(
                          java.util.Map.of(
                              "bench", "linnet-12",
                              "outputs", java.util.Map.of("left", "2 V", "right", "2 V"),
                              "inputs", java.util.Map.of("left", "1 V"))),
                      roles.context);
      switcher.select("mains direct");
      switcher.select("drive left");
      roles.clock.sleep(Duration.ofSeconds(20));
      assertThat(small.exchange(tone(0.02, 9_600)).clipped()).isFalse();
      Capture clipped = small.exchange(tone(0.2, 9_600));
      assertThat(clipped.clipped()).isTrue();
      assertThat(clipped.signal().channels()).isEqualTo(1);
      for (int i = 0; i < clipped.signal().length(); i++) {
        assertThat(Math.abs(clipped.signal().at(0, i))).isLessThanOrEqualTo(Math.sqrt(2));
      }
    }
  }

  @Test
  void drivingAnOpenOutputIsCounted() throws Exception {
    try (Switcher switcher = roles.switcher();
        Meter meter = roles.meter();
        AudioInterface audio = roles.audio()) {
      switcher.select("mains direct");
      roles.clock.sleep(Duration.ofSeconds(20));
      switcher.select("left open");
      audio.exchange(tone(0.1, 960));
      assertThat(meter.read("flyback")).isEqualTo(new Reading.Value(Quantity.of(0, Unit.ONE)));
      switcher.select("drive left");
      audio.exchange(tone(0.1, 960));
      assertThat(meter.read("flyback")).isEqualTo(new Reading.Value(Quantity.of(1, Unit.ONE)));
    }
  }

  @Test
  void aMeterReadInTheMiddleOfAStimulusSeesTheUnitAsItIsThenAndLeavesTheCaptureWhole()
      throws Exception {
    List<Double> rails = new ArrayList<>();
    Roles undisturbed = new Roles("LN12-001");
    HalfwayClock clock = new HalfwayClock();
    FakeContext context = new FakeContext(clock).unit("LN12-001");
    SimulatedBenchProvider provider = new SimulatedBenchProvider();
    try (Switcher quiet = undisturbed.switcher();
        AudioInterface undisturbedAudio = undisturbed.audio();
        Switcher switcher =
            (Switcher)
                provider.open(
                    InstrumentKind.SWITCHER,
                    Nodes.settings(Roles.switcherSettings()),
                    context.routes(Roles.ROUTES));
        Meter meter =
            (Meter)
                provider.open(
                    InstrumentKind.METER, Nodes.settings(Roles.meterSettings()), context);
        AudioInterface audio =
            (AudioInterface)
                provider.open(
                    InstrumentKind.AUDIO_INTERFACE,
                    Nodes.settings(Roles.audioSettings()),
                    context)) {
      for (Switcher each : List.of(quiet, switcher)) {
        each.select("mains direct");
        each.select("drive left");
      }
      undisturbed.clock.sleep(Duration.ofSeconds(20));
      clock.sleep(Duration.ofSeconds(20));
      Signal alone = undisturbedAudio.exchange(tone(0.3, 48_000)).signal();
      clock.halfway = clock.nanos + Duration.ofMillis(250).toNanos();
      clock.happening = () -> rails.add(Roles.value(meter, "hv"));
      Signal watched = audio.exchange(tone(0.3, 48_000)).signal();
      assertThat(rails).singleElement().satisfies(v -> assertThat(v).isBetween(300.0, 345.0));
      assertThat(watched.length()).isEqualTo(alone.length());
      assertThat(watched.channel(0)).isEqualTo(alone.channel(0));
    }
  }

  /** In real time the model moves on at every look; what is left for the end is what one takes. */
  @Test
  void theUnitMovesOnWhileAStimulusPlaysSoThatItsEndComesOnTime() throws Exception {
    HalfwayClock clock = new HalfwayClock();
    FakeContext context = new FakeContext(clock).unit("LN12-001");
    SimulatedBenchProvider provider = new SimulatedBenchProvider();
    try (Switcher switcher =
            (Switcher)
                provider.open(
                    InstrumentKind.SWITCHER,
                    Nodes.settings(Roles.switcherSettings()),
                    context.routes(Roles.ROUTES));
        AudioInterface audio =
            (AudioInterface)
                provider.open(
                    InstrumentKind.AUDIO_INTERFACE,
                    Nodes.settings(Roles.audioSettings()),
                    context)) {
      switcher.select("drive left");
      clock.slept.clear();
      assertThat(audio.exchange(tone(0.1, 96_000)).signal().length()).isEqualTo(96_000);
      assertThat(clock.slept).hasSizeBetween(50, 70).allMatch(nanos -> nanos <= 20_000_000);
      assertThat(clock.slept.get(clock.slept.size() - 1)).isLessThanOrEqualTo(1_000_000);
    }
  }

  @Test
  void withoutASwitcherThereIsNoUnitAndTwoSwitchersAreOneTooMany() throws Exception {
    try (Meter meter = roles.meter()) {
      assertFails(InstrumentException.Kind.OTHER, () -> meter.read("hv"));
    }
    try (Switcher first = roles.switcher()) {
      assertThat(first.closed()).isEmpty();
      assertFails(InstrumentException.Kind.OTHER, roles::switcher);
    }
  }

  @Test
  void anInterruptedExchangeFailsAndTheNextOneWorks() throws Exception {
    try (Switcher switcher = roles.switcher();
        AudioInterface audio = roles.audio()) {
      assertThat(switcher.closed()).isEmpty();
      Thread.currentThread().interrupt();
      assertFails(InstrumentException.Kind.OTHER, () -> audio.exchange(tone(0.1, 960)));
      assertThat(Thread.interrupted()).isTrue();
      assertThat(audio.exchange(tone(0.1, 960)).signal().length()).isEqualTo(960);
    }
  }

  /** A clock that lets something happen at a moment within a sleep, and remembers all sleeps. */
  private static final class HalfwayClock implements BenchClock {
    private interface Happening {
      void happen() throws InstrumentException;
    }

    private final List<Long> slept = new ArrayList<>();
    private long nanos;
    private long halfway;
    private Happening happening;

    @Override
    public long nanos() {
      return nanos;
    }

    @Override
    public Instant now() {
      return Instant.EPOCH.plusNanos(nanos);
    }

    @Override
    public void sleep(Duration duration) {
      slept.add(duration.toNanos());
      long end = nanos + duration.toNanos();
      Happening now = happening;
      if (now != null && end > halfway) {
        happening = null;
        nanos = halfway;
        try {
          now.happen();
        } catch (InstrumentException e) {
          throw new AssertionError(e);
        }
      }
      nanos = Math.max(nanos, end);
    }
  }
}
