package kitproof.peers;

import static kitproof.peers.KnownDevices.decibels;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.DoubleUnaryOperator;
import java.util.function.ToDoubleFunction;
import kitproof.event.StepOutcome;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.procedure.Procedures;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every procedure on real drivers: devices of known truth in sound servers, chosen by relays on
 * serial lines, meters on serial lines. The limit files hold what is known; every result must be
 * judged and pass, and be told in record, console and MQTT.
 *
 * <p>Signals take their time, so the four runs go side by side.
 */
@Alone
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class EveryProcedureIT {
  private final Opened opened = new Opened();
  private Path folder;
  private KnownRun responses;
  private KnownRun products;
  private KnownRun conditions;
  private KnownRun meters;
  private SoundRun impedances;

  @BeforeAll
  void start(@TempDir Path made) throws Exception {
    folder = made;
    meters = started(KnownMeters.start(opened, told("meters")));
    products = started(KnownProducts.start(bench("products"), told("products"), folder));
    impedances = bench("conditions");
    conditions = started(KnownConditions.start(impedances, told("conditions")));
    responses = started(KnownResponses.start(bench("responses"), told("responses")));
    // A person answers while the others play.
    meters.program().awaitPrinted("connect the unit");
    meters.program().type("\n");
    meters.program().awaitPrinted("read the panel meter");
    meters.program().type("331\n");
  }

  @AfterAll
  void stop() throws Exception {
    opened.close();
  }

  private KnownRun started(KnownRun run) {
    Program program = opened.add(run.program());
    assertThat(program.isAlive()).isTrue();
    return run;
  }

  private SoundRun bench(String name) throws Exception {
    return opened.add(new SoundRun(Files.createDirectories(folder.resolve(name))));
  }

  private Told told(String name) throws Exception {
    return opened.add(new Told(folder.resolve(name)));
  }

  @Test
  @DisplayName("Gain, response, phase, polarity, square wave, a stray line and a climb to clipping")
  void responsesAreWhatIsKnown() throws Exception {
    RunRecord record = responses.passed();
    double stray = Results.value(record, "stray line frequency");
    assertThat(Math.abs(stray - 7000)).isCloseTo(700, within(3.0));
    double rises = KnownResponses.squareRises();
    assertThat(
            Fits.off(
                Results.curve(record, "square wave"),
                0,
                1 / KnownDevices.RATE,
                1,
                (t, late) -> KnownResponses.square(rises + t + late)))
        .as("volts off the square wave through the filter")
        .isLessThan(0.03);
    beyondClipping(record, "harmonic 3 against power", c -> decibels(c.third() / c.fundamental()));
    beyondClipping(record, "thd against power", c -> 100 * c.third() / c.fundamental());
    beyondClipping(record, "thd+n against power", c -> 100 * c.thdPlusNoise());
    beyondClipping(
        record,
        "input voltage against power",
        c -> c.drive() * SoundRun.FULL_SCALE_PEAK / Math.sqrt(2));
  }

  /** Where the limiter cuts, by the sums of a sine cut off: within a hundredth of what they say. */
  private static void beyondClipping(
      RunRecord record, String name, ToDoubleFunction<KnownDevices.Clipper.Cut> known) {
    Curve curve = Results.curve(record, name);
    int looked = 0;
    for (int i = 0; i < curve.size(); i++) {
      if (curve.x(i) > 1.62) {
        double value = known.applyAsDouble(KnownResponses.clipped(curve.x(i)));
        assertThat(curve.y(i))
            .as("%s at %s W", name, curve.x(i))
            .isCloseTo(value, withinPercentage(1));
        looked++;
      }
    }
    assertThat(looked).as(name).isGreaterThanOrEqualTo(2);
  }

  @Test
  @DisplayName("Harmonics, spectra, products of two tones, hum and noise")
  void productsAreWhatIsKnown() throws Exception {
    RunRecord record = products.passed();
    double[] harmonics = KnownProducts.POLYNOMIAL.harmonics(KnownProducts.outputPeak());
    Curve spectrum = Results.curve(record, "harmonic spectrum");
    assertThat(highest(spectrum, 1900, 2100)).isCloseTo(decibels(harmonics[0]), within(0.05));
    assertThat(highest(spectrum, 2900, 3100)).isCloseTo(decibels(harmonics[1]), within(0.05));
    Curve volts = Results.curve(record, "spectrum");
    double tone = decibels(KnownProducts.outputPeak() * SoundRun.FULL_SCALE_PEAK / Math.sqrt(2));
    assertThat(highest(volts, 900, 1100)).isCloseTo(tone, within(0.02));
    assertThat(highest(volts, 2900, 3100)).isCloseTo(tone + decibels(harmonics[1]), within(0.07));
    double perSecond = 2 * Math.PI * strongest(spectrum);
    assertThat(waveOff(record, "waveform", perSecond, KnownProducts::volts))
        .as("volts off the polynomial's waveform")
        .isLessThan(0.03);
    assertThat(waveOff(record, "residual waveform", perSecond, KnownProducts::percent))
        .as("percent off what it has besides its fundamental")
        .isLessThan(0.1);
  }

  /** How far a curve is from a wave known by its phase, whose rise it begins within a sample of. */
  private static double waveOff(
      RunRecord record, String name, double perSecond, DoubleUnaryOperator known) {
    return Fits.off(
        Results.curve(record, name),
        0,
        perSecond / KnownDevices.RATE,
        1,
        (t, phase) -> known.applyAsDouble(perSecond * t + phase));
  }

  private static double strongest(Curve spectrum) {
    int strongest = 0;
    for (int i = 1; i < spectrum.size(); i++) {
      strongest = spectrum.y(i) > spectrum.y(strongest) ? i : strongest;
    }
    return spectrum.x(strongest);
  }

  private static double highest(Curve curve, double low, double high) {
    double highest = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < curve.size(); i++) {
      if (curve.x(i) >= low && curve.x(i) <= high) {
        highest = Math.max(highest, curve.ys()[i]);
      }
    }
    return highest;
  }

  @Test
  @DisplayName(
      "Input ranges, a capacitor across the load, impedances on two taps, crosstalk and balance")
  void conditionsAreWhatIsKnown() throws Exception {
    RunRecord record = conditions.passed();
    assertThat(impedances.wasSensitive()).as("the quiet tone came in without attenuator").isTrue();
    assertThat(
            Results.value(record, "output impedance at 1 kHz", Conditions.of("tap", "4 ohm"))
                / Results.value(record, "output impedance at 1 kHz", Conditions.of("tap", "8 ohm")))
        .as("impedances of taps are as their loads (an ideal transformer)")
        .isCloseTo(0.5, within(0.01));
  }

  @Test
  @DisplayName("First power through lamps, readings, dissipation, a trimmer, drift and discharge")
  void metersReadWhatIsThere() throws Exception {
    RunRecord record = meters.passed();
    assertThat(record.steps()).allMatch(step -> step.outcome() == StepOutcome.PASSED).hasSize(11);
    // Readings come when the lines and a busy machine let them: most of them, not all.
    Curve rise = Results.curve(record, "supply rise");
    assertThat(Fits.off(rise, -2, 2, 0.8, (t, begun) -> Rail.LIMITED_VOLTS - fallen(280, t, begun)))
        .as("volts off the exponential rise")
        .isLessThan(15);
    Curve discharge = Results.curve(record, "discharge");
    assertThat(Fits.off(discharge, -2, 2, 0.8, (t, begun) -> fallen(330, t, begun)))
        .as("volts off the exponential fall")
        .isLessThan(15);
    Curve current = Results.curve(record, "current");
    assertThat(Fits.off(current, 0, 150, 0.9, (t, begun) -> 0.1 + 0.001 * (t + begun)))
        .as("amperes off the even rise")
        .isLessThan(2e-4);
  }

  /** What a capacitor has left since it began to lose its voltage. */
  private static double fallen(double volts, double seconds, double begun) {
    return volts * Math.exp(-Math.max(0, seconds + begun) / Rail.TIME_CONSTANT_SECONDS);
  }

  @Test
  @DisplayName("No procedure is missing")
  void all() throws Exception {
    Set<String> done = new TreeSet<>(Set.of("prompt")); // which has no result
    for (KnownRun run : List.of(responses, products, conditions)) {
      done.addAll(procedures(run));
    }
    done.addAll(procedures(meters));
    // those of a calibration measure the interface, not a unit: CalibrateIT
    assertThat(done)
        .containsAll(
            Procedures.ids().stream()
                .filter(id -> !id.startsWith("calibrate-") && !id.startsWith("check-"))
                .toList());
  }

  private static Set<String> procedures(KnownRun run) throws Exception {
    Set<String> named = new TreeSet<>();
    String plan = Files.readString(run.told().scene.records().resolveSibling("plan.yaml"));
    for (String line : plan.split("\n", -1)) {
      int at = line.indexOf("procedure: ");
      if (at >= 0) {
        named.add(line.substring(at + 11).split(",", 2)[0]);
      }
    }
    return named;
  }
}
