package kitproof.peers;

import static kitproof.peers.KnownDevices.decibels;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.DoubleStream;
import kitproof.event.StepOutcome;
import kitproof.journal.RunRecord;
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
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class EveryProcedureIT {
  private final Opened opened = new Opened();
  private Path folder;
  private KnownRun responses;
  private KnownRun products;
  private KnownRun conditions;
  private KnownRun meters;

  @BeforeAll
  void start(@TempDir Path made) throws Exception {
    folder = made;
    meters = started(KnownMeters.start(opened, told("meters")));
    products = started(KnownProducts.start(bench("products"), told("products"), folder));
    conditions = started(KnownConditions.start(bench("conditions"), told("conditions")));
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
  }

  @Test
  @DisplayName("Harmonics, spectra, products of two tones, hum and noise")
  void productsAreWhatIsKnown() throws Exception {
    RunRecord record = products.passed();
    double[] harmonics = KnownProducts.POLYNOMIAL.harmonics(KnownProducts.outputPeak());
    Curve spectrum = Results.curve(record, "harmonic spectrum");
    assertThat(highest(spectrum, 1900, 2100)).isCloseTo(decibels(harmonics[0]), within(0.05));
    assertThat(highest(spectrum, 2900, 3100)).isCloseTo(decibels(harmonics[1]), within(0.05));
    double[] residual = Results.curve(record, "residual waveform").ys();
    double rms = Math.sqrt(DoubleStream.of(residual).map(v -> v * v).average().orElseThrow());
    double thd = 100 * Math.hypot(harmonics[0], harmonics[1]);
    assertThat(rms).as("residual over the sine's peak").isCloseTo(thd / Math.sqrt(2), within(0.02));
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
  @DisplayName("Output impedance on two taps, input impedance, crosstalk and balance")
  void conditionsAreWhatIsKnown() throws Exception {
    RunRecord record = conditions.passed();
    assertThat(
            Results.value(record, "output impedance at 1 kHz", Conditions.of("tap", "4 ohm"))
                / Results.value(record, "output impedance at 1 kHz", Conditions.of("tap", "8 ohm")))
        .as("impedances of taps are as their loads (an ideal transformer)")
        .isCloseTo(0.5, within(0.01));
  }

  @Test
  @DisplayName("First power through lamps, readings, dissipation, a trimmer, drift and discharge")
  void metersReadWhatIsThere() throws Exception {
    assertThat(meters.passed().steps())
        .allMatch(step -> step.outcome() == StepOutcome.PASSED)
        .hasSize(11);
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
        .containsAll(Procedures.ids().stream().filter(id -> !id.startsWith("calibrate-")).toList());
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
