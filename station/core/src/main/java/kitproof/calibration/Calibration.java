package kitproof.calibration;

import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.document.Binder;
import kitproof.document.Located;
import kitproof.document.Parsed;
import kitproof.document.SchemaMaker;
import kitproof.document.YamlReader;
import kitproof.uncertainty.AccuracyClass;
import kitproof.value.Contribution;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * The calibration of a bench: how far it is from what its file says, and how well that is known.
 *
 * <p>Sound by construction: it comes from {@link #read}. Whether it still holds is asked with the
 * day, as it expires.
 */
public final class Calibration {
  private final CalibrationDocument document;

  private Calibration(CalibrationDocument document) {
    this.document = document;
  }

  /**
   * Where the calibration of a bench is: beside its file, "bench.yaml" to bench.calibration.yaml.
   */
  public static Path beside(Path benchFile) {
    String name = String.valueOf(benchFile.getFileName());
    String stem = name.replaceFirst("\\.ya?ml$", "");
    return benchFile.resolveSibling(stem + ".calibration.yaml");
  }

  /** Reads a file, or tells everything that is wrong with it. */
  public static Parsed<Calibration> read(Path file) {
    return YamlReader.read(file).flatMap(Calibration::of);
  }

  /** Reads text; {@code name} stands for the file in messages. */
  public static Parsed<Calibration> read(String name, String text) {
    return YamlReader.read(name, text).flatMap(Calibration::of);
  }

  private static Parsed<Calibration> of(Node.Mapping section) {
    return new Binder().bind(section, CalibrationDocument.class).map(Calibration::new);
  }

  CalibrationDocument document() {
    return document;
  }

  /** The JSON Schema of such files. */
  public static String schema() {
    return new SchemaMaker().make(CalibrationDocument.class, "Calibration");
  }

  /** The bench that it is of, with the place of its name. */
  public Located<String> bench() {
    return document.bench();
  }

  /** The day on which it was done. */
  public LocalDate date() {
    return document.date();
  }

  /** The last day on which it holds; empty if it does not expire. */
  public Optional<LocalDate> due() {
    return Optional.ofNullable(document.due()).map(Located::value);
  }

  /** Of the room in which it was done, if that is told. */
  public Optional<Quantity> temperature() {
    return Optional.ofNullable(document.temperature());
  }

  /** The run that it comes from; empty if that is not told. */
  public String record() {
    return document.record();
  }

  /**
   * What has expired: the calibration as a whole, or an instrument's certificate.
   *
   * @param today the day of the run
   */
  public List<Problem> expired(LocalDate today) {
    List<Problem> problems = new ArrayList<>();
    Located<LocalDate> due = document.due();
    if (due != null && due.value().isBefore(today)) {
      problems.add(
          Problem.of(
              due.location(),
              "a calibration that was due on " + due.value(),
              "a new one, as it is " + today));
    }
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              CalibrationDocument.Certificate certificate = instrument.value().certificate();
              if (certificate != null && certificate.due().value().isBefore(today)) {
                problems.add(
                    Problem.of(
                        certificate.due().location(),
                        "certificate "
                            + certificate.number()
                            + " of "
                            + role
                            + ", which was due on "
                            + certificate.due().value(),
                        "a new one, as it is " + today));
              }
            });
    return problems;
  }

  /**
   * The day on which the first of what holds will expire.
   *
   * @return its last good day; empty if nothing expires
   */
  public Optional<LocalDate> firstDue() {
    List<LocalDate> all = new ArrayList<>();
    due().ifPresent(all::add);
    for (Located<CalibrationDocument.Instrument> each : document.instruments().values()) {
      CalibrationDocument.Certificate certificate = each.value().certificate();
      if (certificate != null) {
        all.add(certificate.due().value());
      }
    }
    return all.stream().min(Comparator.naturalOrder());
  }

  /**
   * Certificates of instruments, for people: "hv-meter: C-17 of A Laboratory, until 2027-02-28".
   */
  public List<String> certificates() {
    List<String> lines = new ArrayList<>();
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              CalibrationDocument.Certificate of = instrument.value().certificate();
              if (of != null) {
                lines.add(
                    role
                        + ": "
                        + of.number()
                        + (of.by().isEmpty() ? "" : " of " + of.by())
                        + ", until "
                        + of.due().value());
              }
            });
    return lines;
  }

  /** Roles that the file speaks of, each with its first place. */
  public List<Located<String>> roles() {
    Map<String, Located<String>> roles = new LinkedHashMap<>();
    document.instruments().forEach((role, i) -> roles.put(role, new Located<>(i.location(), role)));
    add(roles, document.outputs(), CalibrationDocument.Level::role);
    add(roles, document.inputs(), CalibrationDocument.Level::role);
    add(roles, document.attenuators(), CalibrationDocument.Attenuator::role);
    add(roles, document.paths(), CalibrationDocument.Path::role);
    add(roles, document.residuals(), CalibrationDocument.Residual::role);
    add(roles, document.leakages(), CalibrationDocument.Leakage::role);
    add(roles, document.delays(), CalibrationDocument.Delay::role);
    return List.copyOf(roles.values());
  }

  /** Routes that the file speaks of, each with its first place. */
  public List<Located<String>> routes() {
    Map<String, Located<String>> routes = new LinkedHashMap<>();
    add(routes, document.resistors(), CalibrationDocument.Resistor::route);
    add(routes, document.inputs(), CalibrationDocument.Level::range);
    add(routes, document.attenuators(), CalibrationDocument.Attenuator::range);
    add(routes, document.paths(), CalibrationDocument.Path::range);
    add(routes, document.residuals(), CalibrationDocument.Residual::range);
    return List.copyOf(routes.values());
  }

  /**
   * A channel of an interface, in one of its input ranges.
   *
   * @param range null on a bench without ranges
   */
  public record Place(String role, String channel, @Nullable String range) {}

  /** Every input that has a full scale. */
  public List<Located<Place>> inputs() {
    return document.inputs().stream()
        .map(
            input ->
                new Located<>(
                    input.location(),
                    new Place(
                        input.value().role(), input.value().channel(), input.value().range())))
        .toList();
  }

  /** What is corrected by it, for people: an entry a line. */
  public List<String> corrections() {
    List<String> lines = new ArrayList<>();
    for (Located<CalibrationDocument.Level> level : document.outputs()) {
      lines.add("output " + level.value().place() + " " + level.value().fullScale().display(6));
    }
    for (Located<CalibrationDocument.Level> level : document.inputs()) {
      lines.add("input " + level.value().place() + " " + level.value().fullScale().display(6));
    }
    for (Located<CalibrationDocument.Path> path : document.paths()) {
      CalibrationDocument.Path of = path.value();
      List<CalibrationDocument.Point> points = of.points().value();
      lines.add(
          "path "
              + CalibrationDocument.place(of.role(), of.channel(), of.range())
              + " "
              + points.get(0).at().display()
              + " to "
              + points.get(points.size() - 1).at().display());
    }
    for (Located<CalibrationDocument.Resistor> resistor : document.resistors()) {
      lines.add(resistor.value().route() + " " + resistor.value().resistance().display(5));
    }
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              for (Located<CalibrationDocument.Correction> each :
                  instrument.value().corrections()) {
                MeterCorrection correction = correction(each.value());
                lines.add(role + " " + each.value().function() + " " + correction);
              }
            });
    return lines;
  }

  private interface Naming<T> {
    @Nullable String of(T entry);
  }

  private static <T> void add(
      Map<String, Located<String>> names, List<Located<T>> entries, Naming<T> naming) {
    for (Located<T> entry : entries) {
      String name = naming.of(entry.value());
      if (name != null) {
        names.putIfAbsent(name, new Located<>(entry.location(), name));
      }
    }
  }

  /**
   * Instruments that are not those that were calibrated.
   *
   * @param opened role to identity, as the instruments say
   */
  public List<Problem> exchanged(Map<String, String> opened) {
    List<Problem> problems = new ArrayList<>();
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              String calibrated = instrument.value().identity();
              String found = opened.get(role);
              if (calibrated != null && found != null && !calibrated.equals(found)) {
                problems.add(
                    Problem.of(
                        instrument.location(),
                        role + " calibrated as \"" + calibrated + "\"",
                        "\"" + found + "\", which stands there now"));
              }
            });
    return problems;
  }

  Optional<CalibrationDocument.Instrument> instrument(String role) {
    return Optional.ofNullable(document.instruments().get(role)).map(Located::value);
  }

  /** Full scale of an output: rms of a sine. */
  public Optional<Known> output(String role, String channel) {
    return level(document.outputs(), role, channel, null);
  }

  /**
   * Full scale of an input: rms of a sine at the unit's output.
   *
   * @param range the input range's route; null on a bench without ranges
   */
  public Optional<Known> input(String role, String channel, @Nullable String range) {
    return level(document.inputs(), role, channel, range);
  }

  private static Optional<Known> level(
      List<Located<CalibrationDocument.Level>> levels,
      String role,
      String channel,
      @Nullable String range) {
    String place = CalibrationDocument.place(role, channel, range);
    return levels.stream()
        .map(Located::value)
        .filter(level -> level.place().equals(place))
        .findFirst()
        .map(level -> known(level.fullScale(), level.u(), level.dof()));
  }

  private static Known known(Quantity value, Quantity u, @Nullable Double dof) {
    return new Known(value, u.value(), dof == null ? Double.POSITIVE_INFINITY : dof);
  }

  /** The resistance that a route connects, or of {@code "fixed load"}. */
  public Optional<Known> resistance(String route) {
    return document.resistors().stream()
        .map(Located::value)
        .filter(resistor -> resistor.route().equals(route))
        .findFirst()
        .map(resistor -> known(resistor.resistance(), resistor.u(), resistor.dof()));
  }

  /**
   * Full scale of an input in a range over that in the range at rest.
   *
   * @param range the input range's route
   */
  public Optional<Known> attenuation(String role, String channel, String range) {
    String place = CalibrationDocument.place(role, channel, range);
    return document.attenuators().stream()
        .map(Located::value)
        .filter(a -> CalibrationDocument.place(a.role(), a.channel(), a.range()).equals(place))
        .findFirst()
        .map(a -> known(Quantity.of(a.ratio(), Unit.ONE), Quantity.of(a.u(), Unit.ONE), a.dof()));
  }

  /** What is taken out of the readings of a meter's function, if anything is. */
  public Optional<MeterCorrection> correction(String role, String function) {
    return instrument(role).stream()
        .flatMap(instrument -> instrument.corrections().stream())
        .map(Located::value)
        .filter(correction -> correction.function().equals(function))
        .findFirst()
        .map(Calibration::correction);
  }

  private static MeterCorrection correction(CalibrationDocument.Correction of) {
    Quantity offset = of.offset();
    return new MeterCorrection(of.gain(), offset == null ? 0 : offset.value());
  }

  /**
   * What of a driven channel comes in at another one by the station itself, relative to it, dB: the
   * most of the two calibrated frequencies around this one.
   *
   * @return empty if no frequency of these channels is calibrated
   */
  public Optional<Double> leakage(String role, String from, String to, double hertz) {
    List<CalibrationDocument.Leakage> all =
        document.leakages().stream()
            .map(Located::value)
            .filter(l -> l.role().equals(role) && l.from().equals(from) && l.to().equals(to))
            .sorted(Comparator.comparing(l -> l.at().value()))
            .toList();
    if (all.isEmpty()) {
      return Optional.empty();
    }
    CalibrationDocument.Leakage below = all.get(0);
    CalibrationDocument.Leakage above = all.get(all.size() - 1);
    for (CalibrationDocument.Leakage each : all) {
      below = each.at().value() <= hertz ? each : below;
    }
    for (int i = all.size() - 1; i >= 0; i--) {
      above = all.get(i).at().value() >= hertz ? all.get(i) : above;
    }
    return Optional.of(Math.max(below.level().value(), above.level().value()));
  }

  /** Level and phase of the path of a channel, output on input. */
  public Optional<PathResponse> path(String role, String channel, @Nullable String range) {
    String place = CalibrationDocument.place(role, channel, range);
    return document.paths().stream()
        .map(Located::value)
        .filter(p -> CalibrationDocument.place(p.role(), p.channel(), p.range()).equals(place))
        .findFirst()
        .map(
            p -> {
              List<CalibrationDocument.Point> points = p.points().value();
              return new PathResponse(
                  points.stream().mapToDouble(point -> point.at().value()).toArray(),
                  points.stream().mapToDouble(point -> point.level().value()).toArray(),
                  points.stream().mapToDouble(point -> point.u().value()).toArray(),
                  points.stream().mapToDouble(point -> point.phase().value()).toArray());
            });
  }

  /** The delay of a channel, seconds. */
  public Optional<Known> delay(String role, String channel) {
    return document.delays().stream()
        .map(Located::value)
        .filter(d -> d.role().equals(role) && d.channel().equals(channel))
        .findFirst()
        .map(d -> known(d.delay(), d.u(), null));
  }

  /**
   * The line of a budget that a meter brings by its maker's limits of error.
   *
   * @param reading as the bench has it, scale factor applied
   * @return empty if the file does not say, or says it in another unit
   */
  public Optional<Contribution> meter(String role, String function, Quantity reading) {
    Located<CalibrationDocument.Instrument> instrument = document.instruments().get(role);
    if (instrument == null) {
      return Optional.empty();
    }
    return instrument.value().accuracy().stream()
        .map(Located::value)
        .filter(accuracy -> accuracy.function().equals(function))
        .filter(accuracy -> fits(accuracy, reading))
        .findFirst()
        .map(accuracy -> contribution(role, accuracy, reading));
  }

  /** What one count of the last digit of a meter's function is, if the file says it. */
  public Optional<Quantity> resolution(String role, String function) {
    return instrument(role).stream()
        .flatMap(instrument -> instrument.accuracy().stream())
        .map(Located::value)
        .filter(accuracy -> accuracy.function().equals(function))
        .findFirst()
        .map(CalibrationDocument.Accuracy::resolution);
  }

  /** Whether the limits of error of a meter's function are told. */
  public boolean knowsMeter(String role, String function) {
    return instrument(role).stream()
        .flatMap(instrument -> instrument.accuracy().stream())
        .anyMatch(accuracy -> accuracy.value().function().equals(function));
  }

  /** Whether any distortion and noise of the station is told. */
  public boolean hasResiduals() {
    return !document.residuals().isEmpty();
  }

  /** Whether any leakage between channels is told. */
  public boolean hasLeakages() {
    return !document.leakages().isEmpty();
  }

  private static boolean fits(CalibrationDocument.Accuracy accuracy, Quantity reading) {
    return AccuracyClass.parse(accuracy.limits().value()).notIn(reading.unit()).isEmpty()
        && (accuracy.range() == null || accuracy.range().unit() == reading.unit())
        && (accuracy.resolution() == null || accuracy.resolution().unit() == reading.unit());
  }

  private static Contribution contribution(
      String role, CalibrationDocument.Accuracy accuracy, Quantity reading) {
    return AccuracyClass.parse(accuracy.limits().value())
        .contribution(
            "limits of error of " + role,
            reading.value(),
            accuracy.range() == null ? 0 : accuracy.range().value(),
            accuracy.resolution() == null ? 0 : accuracy.resolution().value(),
            reading.unit());
  }
}
