package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.document.YamlReader;
import kitproof.uncertainty.Coverage;
import kitproof.value.Node;
import kitproof.value.Quantity;

/**
 * What is wrong with the simulated bench with errors, in closed form by what its file builds in,
 * and a calibration file held against it: each value within its expanded uncertainty.
 *
 * <p>An interval of 95 % leaves out one truth in twenty where it is just as wide as it should be,
 * so of each kind nine in ten have to lie in it, and every one in that of 99.99 %.
 */
final class BuiltInErrors {
  private static final double RATE = 96_000;

  /** The tone of the full scales. */
  private static final double TONE = 997;

  private static final double PER_DECIBEL = Math.log(10) / 20;

  private final String bench;
  private final Map<String, List<Value>> values = new TreeMap<>();

  private BuiltInErrors(String bench) {
    this.bench = bench;
  }

  /** The most that the u of a kind may be: relative, in dB, in degrees; else nothing is shown. */
  private static final Map<String, Double> MOST =
      Map.of(
          "outputs", 1e-3,
          "inputs", 1e-3,
          "attenuators", 5e-5,
          "resistors", 1e-3,
          "delays", 5e-5,
          "leakages", 0.02,
          "levels of paths", 0.3,
          "phases of paths", 1.2, // it bends most at the interface's limit
          "noise of residuals", 0.1,
          "thd+n of residuals", 0.1);

  /** A value of the file: by how much it is off, its u and its degrees of freedom. */
  private record Value(String what, double error, double u, double dof) {
    boolean isWithin(double probability) {
      return Math.abs(error) <= Coverage.factor(probability, dof) * u;
    }
  }

  /** How much of each kind every calibration of the uneven bench finds, however many tones. */
  static final Map<String, Integer> OF_THE_UNEVEN_BENCH =
      Map.of(
          "outputs", 2, "inputs", 4, "attenuators", 2, "resistors", 16, "leakages", 8, "delays", 2);

  /**
   * Holds everything in the file against the truth.
   *
   * @return how many values there are by section
   */
  static Map<String, Integer> hold(Path benchFile, Path calibration) throws IOException {
    BuiltInErrors truth = new BuiltInErrors(Files.readString(benchFile));
    Node.Mapping file = YamlReader.read(calibration).value();
    truth.fullScales(file);
    truth.paths(file);
    truth.residuals(file);
    truth.resistors(file);
    truth.leakages(file);
    truth.delays(file);
    Map<String, Integer> counts = new TreeMap<>();
    truth.values.forEach(
        (kind, all) -> {
          counts.put(kind, all.size());
          double most = MOST.getOrDefault(kind, 1.1); // a thd may be noise altogether
          assertThat(all).as(kind).allMatch(value -> value.u > 0 && value.u < most);
          assertThat(all).as(kind + " within 99.99 %%").allMatch(value -> value.isWithin(0.9999));
          List<Value> outside = all.stream().filter(value -> !value.isWithin(0.95)).toList();
          assertThat(outside.size())
              .as(kind + ": " + outside)
              .isLessThanOrEqualTo((int) Math.ceil(0.1 * all.size()));
        });
    return counts;
  }

  private double built(String key) {
    Matcher found =
        Pattern.compile("(?m)^ +" + Pattern.quote(key) + ": ([^#\\n]*)$").matcher(bench);
    assertThat(found.find()).as(key).isTrue();
    return Quantity.parse(found.group(1).strip()).value();
  }

  /** One and a part of it: the file states it in percent. */
  private double factor(String key) {
    return 1 + built(key) / 100;
  }

  /** How many times more of full scale an input shows in a range than in that at rest. */
  private double gain(Node.Mapping entry) {
    return text(entry, "range").equals("range 5 V") ? built("attenuation") : 1;
  }

  private void fullScales(Node.Mapping file) {
    for (Node.Mapping each : entries(file, "outputs")) {
      double truth = 2 * factor("output-" + text(each, "channel"));
      relative("outputs", each, "full-scale", truth);
    }
    for (Node.Mapping each : entries(file, "inputs")) {
      double truth = 20 / factor("input-" + text(each, "channel")) / gain(each);
      relative("inputs", each, "full-scale", truth);
    }
    for (Node.Mapping each : entries(file, "attenuators")) {
      relative("attenuators", each, "ratio", 1 / gain(each));
    }
  }

  /** Phases as captures are corrected: with the delay that the file has. */
  private void paths(Node.Mapping file) {
    for (Node.Mapping path : entries(file, "paths")) {
      Node.Mapping delay =
          entries(file, "delays").stream()
              .filter(each -> text(each, "channel").equals(text(path, "channel")))
              .findFirst()
              .orElseThrow();
      for (Node.Mapping each : entries(path, "points")) {
        double hertz = number(each, "at");
        double level = number(each, "level") - (path(hertz) - path(TONE));
        add("levels of paths", each, level, number(each, "u"));
        double cycle = 360 * hertz;
        double phase = number(each, "phase") - cycle * number(delay, "delay");
        values
            .computeIfAbsent("phases of paths", kind -> new ArrayList<>())
            .add(
                new Value(
                    label(path) + label(each),
                    phase - (turn(hertz) - cycle * built("delay")),
                    Math.hypot(number(each, "phase-u"), cycle * number(delay, "u")),
                    Math.min(dof(each, "phase-dof"), dof(delay, "dof"))));
      }
    }
  }

  private void residuals(Node.Mapping file) {
    for (Node.Mapping each : entries(file, "residuals")) {
      String channel = text(each, "channel");
      double hertz = number(each, "at");
      double level = number(each, "level");
      // The tone is played at whole decibels below full scale, of which the file knows nothing.
      double unity =
          20
                  * Math.log10(
                      2
                          * factor("output-" + channel)
                          * factor("input-" + channel)
                          * gain(each)
                          / 20)
              + path(hertz);
      assertThat(level - unity)
          .as("level of " + label(each))
          .isCloseTo(Math.round(level - unity), within(2e-3));
      // Third harmonic as built in at full scale, and 2 dB less for each dB below.
      double thd = built("third-harmonic") + 2 * level;
      double noise = noise(channel, gain(each));
      ratio("thd of residuals", each, "thd", "thd-u", "thd-dof", thd);
      ratio("noise of residuals", each, "noise", "noise-u", "noise-dof", noise);
      double both = sum(thd, noise - level);
      ratio("thd+n of residuals", each, "thd-plus-noise", "u", "dof", both);
    }
  }

  /** White noise of the input, and that of the output through path and attenuator; 20 Hz up. */
  private double noise(String channel, double gain) {
    double input = built("noise") + 10 * Math.log10(19_980 / (RATE / 2));
    double passed = 0;
    int steps = 2000;
    for (int i = 0; i < steps; i++) {
      passed += Math.pow(10, path(20 + 19_980 * (i + 0.5) / steps) / 10) / steps;
    }
    double output =
        input
            + 10 * Math.log10(passed)
            + 20 * Math.log10(2 * factor("input-" + channel) * gain / 20);
    return sum(input, output);
  }

  private static double sum(double one, double other) {
    return 10 * Math.log10(Math.pow(10, one / 10) + Math.pow(10, other / 10));
  }

  private void resistors(Node.Mapping file) {
    for (Node.Mapping each : entries(file, "resistors")) {
      relative("resistors", each, "resistance", resistance(text(each, "route")));
    }
  }

  private double resistance(String route) {
    Matcher tap =
        Pattern.compile("(left|right) (\\d+) ohm tap(, second load|, capacitor)?").matcher(route);
    if (!tap.matches()) {
      return built(route.equals("check resistor") ? "check-resistor" : "series-resistor");
    }
    double load = built(tap.group(1) + "-" + tap.group(2) + "-ohm");
    return ", second load".equals(tap.group(3)) ? 1 / (1 / load + 1 / built("second-load")) : load;
  }

  private void leakages(Node.Mapping file) {
    for (Node.Mapping each : entries(file, "leakages")) {
      add("leakages", each, number(each, "level") - built("leakage"), number(each, "u"));
    }
  }

  /** The samples built in, and the slope of the inputs' filters an octave around the tone. */
  private void delays(Node.Mapping file) {
    double low = TONE / Math.sqrt(2);
    double high = TONE * Math.sqrt(2);
    double filters = (turn(low) - turn(high)) / (360 * (high - low));
    for (Node.Mapping each : entries(file, "delays")) {
      relative("delays", each, "delay", built("delay") + filters);
    }
  }

  /** Level of the inputs' filters, first-order corners by the bilinear transform, dB. */
  private double path(double hertz) {
    double low = tangent(hertz) / tangent(built("low-corner"));
    double high = tangent(hertz) / tangent(built("high-corner"));
    return 10 * Math.log10(low * low / (1 + low * low)) - 10 * Math.log10(1 + high * high);
  }

  /** Their phase, degrees. */
  private double turn(double hertz) {
    return Math.toDegrees(
        Math.atan(tangent(built("low-corner")) / tangent(hertz))
            - Math.atan(tangent(hertz) / tangent(built("high-corner"))));
  }

  private static double tangent(double hertz) {
    return Math.tan(Math.PI * hertz / RATE);
  }

  /** Of a quantity, relative to its size. */
  private void relative(String kind, Node.Mapping of, String key, double truth) {
    double size = Math.abs(truth);
    add(kind, of, (number(of, key) - truth) / size, number(of, "u") / size);
  }

  private void add(String kind, Node.Mapping of, double error, double u) {
    values
        .computeIfAbsent(kind, k -> new ArrayList<>())
        .add(new Value(label(of), error, u, dof(of, "dof")));
  }

  /** Of decibels that may be far off, as ratios: the truth of a thd in noise may be nothing. */
  private void ratio(String kind, Node.Mapping of, String key, String u, String dof, double truth) {
    double error = Math.pow(10, (truth - number(of, key)) / 20) - 1;
    values
        .computeIfAbsent(kind, k -> new ArrayList<>())
        .add(new Value(label(of), error, number(of, u) * PER_DECIBEL, dof(of, dof)));
  }

  private static String label(Node.Mapping of) {
    return Stream.of("channel", "range", "route", "from", "to", "at", "level")
        .map(key -> text(of, key))
        .filter(text -> !text.isEmpty())
        .collect(Collectors.joining(", ", "(", ")"));
  }

  private static List<Node.Mapping> entries(Node.Mapping of, String key) {
    return of.get(key).stream()
        .flatMap(node -> ((Node.Listing) node).items().stream())
        .map(Node.Mapping.class::cast)
        .toList();
  }

  private static String text(Node.Mapping of, String key) {
    return of.get(key).map(node -> ((Node.Scalar) node).text()).orElse("");
  }

  private static double number(Node.Mapping of, String key) {
    String text = text(of, key);
    assertThat(text).as(key).isNotEmpty();
    return Quantity.parse(text).value();
  }

  private static double dof(Node.Mapping of, String key) {
    return of.get(key).isEmpty() ? Double.POSITIVE_INFINITY : number(of, key);
  }
}
