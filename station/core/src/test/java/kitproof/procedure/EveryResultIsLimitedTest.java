package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.document.YamlReader;
import kitproof.driver.Answer;
import kitproof.driver.Reading;
import kitproof.limit.Judge;
import kitproof.limit.Judgement.Outcome;
import kitproof.limit.LimitFile;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plan.PlanStep;
import kitproof.run.Preflight;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every result that a procedure promises can be limited: a limit or mask for it is accepted with
 * the plan, lets a good value pass and a bad one fail. The list is made from the promises
 * themselves; each must have been measured.
 */
class EveryResultIsLimitedTest {
  /**
   * A step.
   *
   * @param settings as in a plan, without braces
   * @param channel its condition
   * @param set what the bench is for it
   */
  record Case(String procedure, String settings, String channel, Consumer<FormulaBench> set) {
    @Override
    public String toString() {
      return procedure + ": " + settings;
    }
  }

  private static Case of(String procedure, String settings) {
    return new Case(procedure, settings, "left", bench -> {});
  }

  private static Case both(String procedure, String settings) {
    return new Case(procedure, settings, "both", bench -> {});
  }

  private static Case with(String procedure, String settings, Consumer<FormulaBench> set) {
    return new Case(procedure, settings, "left", set);
  }

  private static Reading volts(double volts) {
    return new Reading.Value(Quantity.of(volts, Unit.VOLT));
  }

  static Stream<Case> cases() {
    return Stream.of(
        with("reading", "meter: m, function: hv, result: hv", b -> b.readings(volts(330))),
        with(
            "reading-at-power",
            "power: 1 W, meter: m, function: hv, result: hv loaded",
            b -> b.readings(volts(330))),
        with(
            "resistance",
            "meter: m, function: f",
            b -> b.meter.readings("f", Unit.OHM, new Reading.Value(Quantity.of(56.8, Unit.OHM)))),
        with(
            "supply-rise",
            "meter: m, function: hv, watch: 10 s",
            b -> b.rail(0, t -> 330 * (1 - Math.exp(-t / 0.5)))),
        with("warm-up", "meter: m, function: hv, window: 5 s", b -> b.readings(volts(8.1))),
        with(
            "dissipation",
            "meter: m, function: hv, cathode-resistor: 270 ohm, anode-meter: m, anode-function: hv,"
                + " maximum: 12 W",
            b -> b.readings(volts(8.1), volts(8.1), volts(330))),
        with(
            "drift",
            "meter: m, function: hv, result: hv drift, unit: V, soak: 10 s",
            b -> b.readings(volts(330))),
        with(
            "discharge",
            "meter: m, function: hv, safe: 30 V",
            b -> b.rail(330, t -> 330 * Math.exp(-t / 10))),
        of("gain", "power: 1 W"),
        of("frequency-response", "power: 1 W, band: 20 Hz..40 kHz, sweep: 2 s"),
        of("distortion", "power: 1 W"),
        of("distortion-against-power", "powers: 50 mW..40 W, rated: 5 W"),
        of(
            "distortion-against-frequency",
            "power: [1 W, 3 W], frequencies: 200 Hz..4 kHz, harmonics: 5"),
        with(
            "output-impedance",
            "power: 1 W, second-load: other, sweep: 1 s",
            b -> b.otherLeft = unit(b, 18)),
        with(
            "input-impedance",
            "power: 1 W, through-resistor: through, resistor: 47 kohm, sweep: 1 s",
            b -> b.otherLeft = unit(b, 14)),
        both("crosstalk", "power: 1 W, sweep: 1 s"),
        both("channel-balance", "power: 1 W, sweep: 1 s"),
        with(
            "comparison",
            "result: gain, against: {unit: reference}",
            b -> {
              Conditions left = Conditions.of("channel", "left");
              b.earlier.add(Measurement.of("gain", left, Quantity.of(26, Unit.DECIBEL)));
              b.otherUnits.put(
                  "reference",
                  reference(Measurement.of("gain", left, Quantity.of(25, Unit.DECIBEL))));
            }),
        with(
            "comparison",
            "curve: frequency response, against: {unit: reference}",
            b -> {
              Curve curve =
                  Curve.of(Unit.HERTZ, new double[] {20, 20e3}, Unit.DECIBEL, new double[] {0, -1});
              Measurement response =
                  Measurement.of("frequency response", Conditions.of("channel", "left"), curve);
              b.earlier.add(response);
              b.otherUnits.put("reference", reference(response));
            }),
        of("spectrum", "power: 1 W"),
        of("difference-frequency-distortion", "power: 1 W"),
        of("modulation-distortion", "power: 1 W"),
        of("hum", ""),
        of("noise", "rated: 10 W"),
        of("square-wave", "power: 1 W"),
        of("stability", "power: 1 W"),
        with(
            "entry",
            "say: read it, result: hv by eye, plausible: 0 V..600 V",
            b -> b.operator.answers.add(new Answer.Value(Quantity.of(331, Unit.VOLT)))),
        with(
            "adjust",
            "say: turn, control: trimmer, meter: m, function: hv, result: bias, window: 8 V..9 V,"
                + " dwell: 2 s, every: 500 ms, give-up-after: 30 s",
            b -> b.readings(volts(8.5))));
  }

  private static ReferenceUnit reference(Measurement result) {
    return new ReferenceUnit(
        "LN12-007", "formula", "1", "run7", 1, "sha256:07", false, List.of(result));
  }

  /**
   * An amplifier of everything there is to find: bent, slow at both ends, ringing at 6 kHz,
   * humming, hissing, sounding at 17.3 kHz.
   */
  private static UnaryOperator<double[]> unit(FormulaBench bench, double gain) {
    return samples -> {
      double rate = bench.sampleRate;
      Random random = new Random(5);
      double w = 2 * Math.PI * 6000 / rate;
      double r = Math.exp(-w / 5);
      double a1 = -2 * r * Math.cos(w);
      double a2 = r * r;
      double[] out = new double[samples.length];
      double low = 0;
      double y1 = 0;
      double y2 = 0;
      for (int n = 0; n < out.length; n++) {
        double x = gain * samples[n];
        low += 2 * Math.PI * 30 / rate * (x - low);
        double y = (1 + a1 + a2) * (x - low) - a1 * y1 - a2 * y2;
        y2 = y1;
        y1 = y;
        double bent = 22 * Math.tanh((y + 0.002 * y * y) / 22);
        double t = n / rate;
        out[n] =
            bent
                + 1e-3 * Math.sin(2 * Math.PI * 50 * t)
                + 1e-3 * Math.sin(2 * Math.PI * 17_321 * t)
                + 1e-4 * random.nextGaussian();
      }
      return out;
    };
  }

  private static FormulaBench bench(Case of) {
    FormulaBench bench = new FormulaBench();
    bench.sampleRate = 96_000;
    bench.conditions = Conditions.of("channel", of.channel);
    bench.rightLoad = Quantity.of(8, Unit.OHM);
    bench.leak = 1e-3;
    bench.left = unit(bench, 20);
    bench.right = unit(bench, 18);
    of.set.accept(bench);
    return bench;
  }

  private static Plan plan(Case of) {
    String text =
        """
        plan: one step
        product: formula
        revision: 1
        limits: limits.yaml
        steps:
          - {step: it, procedure: %s, conditions: {channel: %s}%s}
        """
            .formatted(of.procedure, of.channel, of.settings.isEmpty() ? "" : ", " + of.settings);
    return YamlReader.read("plan.yaml", text)
        .flatMap(source -> PlanReader.read(source, Path.of("plan.yaml")))
        .value();
  }

  private static LimitFile limits(Measurement of, String limit) {
    String when =
        of.conditions().values().entrySet().stream()
            .map(e -> '"' + e.getKey() + "\": \"" + e.getValue() + '"')
            .collect(Collectors.joining(", "));
    String text =
        """
        limits: one
        product: formula
        revision: 1
        rule: simple acceptance
        judge:
          - {result: "%s", when: {%s}, %s}
        """
            .formatted(of.name(), when, limit);
    return LimitFile.read("limits.yaml", text).value();
  }

  private static String quoted(double value, Unit unit) {
    return '"' + Quantity.of(value, unit).toString() + '"';
  }

  /** A limit or mask with this low and this high end. */
  private static String limit(Figure figure, double low, double high) {
    if (figure instanceof Figure.OfQuantity of) {
      Unit unit = of.quantity().unit();
      return "low: " + quoted(low, unit) + ", high: " + quoted(high, unit);
    }
    Curve curve = ((Figure.OfCurve) figure).curve();
    String ends =
        ", low: " + quoted(low, curve.yUnit()) + ", high: " + quoted(high, curve.yUnit()) + "}";
    return String.format(
        Locale.ROOT,
        "mask: [{at: %s%s, {at: %s%s]",
        quoted(curve.x(0), curve.xUnit()),
        ends,
        quoted(curve.x(curve.size() - 1), curve.xUnit()),
        ends);
  }

  private static double[] values(Figure figure) {
    return figure instanceof Figure.OfQuantity of
        ? new double[] {of.quantity().value()}
        : ((Figure.OfCurve) figure).curve().ys();
  }

  @ParameterizedTest
  @MethodSource("cases")
  void aLimitForItIsAcceptedAndJudges(Case of) throws Exception {
    Plan plan = plan(of);
    PlanStep step = plan.steps().get(0);
    Set<String> open =
        step.outline().promises().stream()
            .map(Outline.Promise::name)
            .collect(Collectors.toCollection(TreeSet::new));
    for (Measurement found : bench(of).all(of.procedure, "{" + of.settings + "}")) {
      if (found.figure() instanceof Figure.Invalid) {
        continue;
      }
      open.remove(found.name());
      double low = Arrays.stream(values(found.figure())).min().orElseThrow();
      double high = Arrays.stream(values(found.figure())).max().orElseThrow();
      double room = 1 + Math.abs(high - low);
      LimitFile good = limits(found, limit(found.figure(), low - room, high + room));
      assertThat(Preflight.limits(good, plan))
          .as(found.title())
          // which every plan with a first power-up needs besides
          .filteredOn(p -> !p.found().startsWith("a first power-up whose limits show a short"))
          .isEmpty();
      assertThat(new Judge(good).judge(found).outcome()).as(found.title()).isEqualTo(Outcome.PASS);
      LimitFile tooLow = limits(found, limit(found.figure(), low - 2 * room, low - room));
      assertThat(new Judge(tooLow).judge(found).outcome())
          .as(found.title())
          .isEqualTo(Outcome.FAIL);
      LimitFile tooHigh = limits(found, limit(found.figure(), high + room, high + 2 * room));
      assertThat(new Judge(tooHigh).judge(found).outcome())
          .as(found.title())
          .isEqualTo(Outcome.FAIL);
    }
    assertThat(open).as("promised, but nowhere measured").isEmpty();
  }

  @Test
  void noProcedureOfAUnitIsMissing() {
    Set<String> all = new TreeSet<>(Procedures.ids());
    all.removeIf(id -> id.startsWith("calibrate-") || id.startsWith("check-"));
    all.remove("prompt"); // which has no result
    assertThat(cases().map(Case::procedure).collect(Collectors.toSet())).isEqualTo(all);
  }
}
