package kitproof.calibration;

import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import kitproof.document.Binder;
import kitproof.document.Located;
import kitproof.document.Parsed;
import kitproof.document.SchemaMaker;
import kitproof.document.YamlReader;
import kitproof.value.Contribution;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;
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
  public Optional<Quantity> roomTemperature() {
    return Optional.ofNullable(document.roomTemperature());
  }

  /** Relative humidity of that room, if that is told. */
  public Optional<Quantity> roomHumidity() {
    return Optional.ofNullable(document.roomHumidity());
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
    return new Validity(document).expired(today);
  }

  /**
   * Certificates of instruments that a new calibration would take over though they have expired.
   *
   * @param today the day of the calibration
   * @param entered certificates that are entered anew; those before do not count then
   * @param place for messages on what is entered
   */
  public static List<Problem> expiredCertificates(
      Optional<Calibration> before, Entered entered, LocalDate today, Location place) {
    String expected = "a new one by --certificate or at the operator's screen, as it is " + today;
    Set<String> roles =
        entered.certificates().stream().map(Entered.Certificate::role).collect(Collectors.toSet());
    List<Problem> problems = new ArrayList<>();
    before.ifPresent(
        of -> problems.addAll(new Validity(of.document).certificates(today, roles, expected)));
    for (Entered.Certificate each : entered.certificates()) {
      if (each.due().isBefore(today)) {
        problems.add(
            Problem.of(place, Validity.expired(each.number(), each.role(), each.due()), expected));
      }
    }
    return problems;
  }

  /**
   * The day on which the first of what holds will expire.
   *
   * @return its last good day; empty if nothing expires
   */
  public Optional<LocalDate> firstDue() {
    return new Validity(document).firstDue();
  }

  /**
   * Certificates of instruments, for people: "hv-meter: C-17 of A Laboratory, until 2027-02-28".
   */
  public List<String> certificates() {
    return new Validity(document).certificates();
  }

  /**
   * What stands here of an instrument's papers, for people: its certificate, then its limits of
   * error by function.
   *
   * @param role the instrument
   */
  public List<String> papers(String role) {
    return new CalibratedMeters(document).papers(role);
  }

  /**
   * Instruments that are not those that were calibrated.
   *
   * @param opened role to identity, as the instruments say
   */
  public List<Problem> exchanged(Map<String, String> opened) {
    return new Validity(document).exchanged(opened);
  }

  /** Roles that the file speaks of, each with its first place. */
  public List<Located<String>> roles() {
    return new Contents(document).roles();
  }

  /** Routes that the file speaks of, each with its first place. */
  public List<Located<String>> routes() {
    return new Contents(document).routes();
  }

  /** What is corrected by it, for people: an entry a line. */
  public List<String> corrections() {
    return new Contents(document).corrections();
  }

  /** What is taken out of the readings of meters, for people: a function a line. */
  public List<String> meterCorrections() {
    return new Contents(document).meterCorrections();
  }

  /**
   * What is taken out of the readings of the meters that stand on a bench, for people: a function a
   * line. Of a meter that is another one nothing is.
   *
   * @param opened role to identity, as the instruments say
   */
  public List<String> meterCorrections(Map<String, String> opened) {
    return new Contents(document).meterCorrections(opened);
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

  Optional<CalibrationDocument.Instrument> instrument(String role) {
    return new CalibratedMeters(document).instrument(role);
  }

  /** Full scale of an output: rms of a sine. */
  public Optional<Known> output(String role, String channel) {
    return new FullScales(document).output(role, channel);
  }

  /**
   * Full scale of an input: rms of a sine at the unit's output. Of a range that has none of its own
   * it is that of the range at rest times the attenuator's ratio.
   *
   * @param range the input range's route; null on a bench without ranges
   */
  public Optional<Known> input(String role, String channel, @Nullable String range) {
    return new FullScales(document).input(role, channel, range);
  }

  /** The resistance that a route connects, or of {@code "fixed load"}. */
  public Optional<Known> resistance(String route) {
    return document.resistors().stream()
        .map(Located::value)
        .filter(resistor -> resistor.route().equals(route))
        .findFirst()
        .map(resistor -> Known.of(resistor.resistance(), resistor.u(), resistor.dof()));
  }

  /**
   * Full scale of an input in a range over that in the range at rest.
   *
   * @param range the input range's route
   */
  public Optional<Known> attenuation(String role, String channel, @Nullable String range) {
    return new FullScales(document).attenuation(role, channel, range);
  }

  /**
   * What of a driven channel comes in at another one by the station itself, relative to it, dB,
   * with its standard uncertainty: the most of the two calibrated frequencies around this one.
   *
   * @return empty if no frequency of these channels is calibrated
   */
  public Optional<Known> leakage(String role, String from, String to, double hertz) {
    return new Leakages(document).of(role, from, to, hertz);
  }

  /** Level and phase of the path of a channel, output on input. */
  public Optional<PathResponse> path(String role, String channel, @Nullable String range) {
    String place = CalibrationDocument.place(role, channel, range);
    return document.paths().stream()
        .map(Located::value)
        .filter(p -> CalibrationDocument.place(p.role(), p.channel(), p.range()).equals(place))
        .findFirst()
        .map(
            p ->
                new PathResponse(
                    p.points().value().stream().map(CalibrationDocument.Point::known).toList()));
  }

  /** The delay of a channel, seconds. */
  public Optional<Known> delay(String role, String channel) {
    return document.delays().stream()
        .map(Located::value)
        .filter(d -> d.role().equals(role) && d.channel().equals(channel))
        .findFirst()
        .map(d -> Known.of(d.delay(), d.u(), d.dof()));
  }

  /** What is taken out of the readings of a meter's function, if anything is. */
  public Optional<MeterCorrection> correction(String role, String function) {
    return new CalibratedMeters(document).correction(role, function);
  }

  /**
   * The standard uncertainty of what the correction of a meter's function leaves, if the file says
   * it.
   */
  public Optional<Quantity> correctionStandard(String role, String function) {
    return new CalibratedMeters(document).correctionStandard(role, function);
  }

  /**
   * The line of a budget that a meter brings by its maker's limits of error.
   *
   * @param reading as the bench has it, scale factor applied
   * @return empty if the file does not say, or says it in another unit
   */
  public Optional<Contribution> meter(String role, String function, Quantity reading) {
    return new CalibratedMeters(document).meter(role, function, reading);
  }

  /** What one count of the last digit of a meter's function is, if the file says it. */
  public Optional<Quantity> resolution(String role, String function) {
    return new CalibratedMeters(document).resolution(role, function);
  }

  /** Whether the limits of error of a meter's function are told. */
  public boolean knowsMeter(String role, String function) {
    return new CalibratedMeters(document).knowsMeter(role, function);
  }

  /** Whether any distortion and noise of the station is told. */
  public boolean hasResiduals() {
    return !document.residuals().isEmpty();
  }

  /** Whether any leakage between channels is told. */
  public boolean hasLeakages() {
    return !document.leakages().isEmpty();
  }
}
