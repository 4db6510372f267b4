package kitproof.calibration;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Located;
import kitproof.document.Meaning;
import kitproof.document.SelfChecked;
import kitproof.uncertainty.AccuracyClass;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** A calibration file as it is written. Every u is a standard uncertainty. */
@Meaning("How far a bench is from what its file says, and how well that is known")
record CalibrationDocument(
    @Meaning("The bench's name, as its file has it") Located<String> bench,
    @Meaning("The day on which it was done") LocalDate date,
    @Meaning("The last day on which it holds; a simulated bench may leave it out")
        @Nullable Located<LocalDate> due,
    @Meaning("Who did it") @Initially("''") String by,
    @Meaning("The run that it comes from") @Initially("''") String record,
    @Meaning("Temperature of the room") @In(Unit.CELSIUS) @Nullable Quantity roomTemperature,
    @Meaning("Relative humidity of the room") @In(Unit.PERCENT) @Nullable Quantity roomHumidity,
    @Meaning("The instruments by role: who they are, their certificates and limits of error")
        @Initially("{}")
        Map<String, Located<Instrument>> instruments,
    @Meaning("Full scale of the audio outputs as found") @Initially("[]")
        List<Located<Level>> outputs,
    @Meaning("Full scale of the audio inputs as found, in each input range") @Initially("[]")
        List<Located<Level>> inputs,
    @Meaning("How many times more than at rest an input takes in another of its ranges")
        @Initially("[]")
        List<Located<Attenuator>> attenuators,
    @Meaning("Level and phase of the whole path, output on input, against frequency")
        @Initially("[]")
        List<Located<Path>> paths,
    @Meaning("What the interface adds by itself, output on input") @Initially("[]")
        List<Located<Residual>> residuals,
    @Meaning("Resistors as found: loads and series resistors, by the route that connects them")
        @Initially("[]")
        List<Located<Resistor>> resistors,
    @Meaning("What of one channel comes in at another that is silent") @Initially("[]")
        List<Located<Leakage>> leakages,
    @Meaning("The interface's own delay from output to input") @Initially("[]")
        List<Located<Delay>> delays)
    implements SelfChecked {

  /** One instrument. */
  record Instrument(
      @Meaning("As it says itself who it is; another one does not fit") @Nullable String identity,
      @Meaning("Its own certificate") @Nullable Certificate certificate,
      @Meaning("Limits of error by function, as its maker states them") @Initially("[]")
          List<Located<Accuracy>> accuracy,
      @Meaning("What its certificate says is to be taken out of its readings") @Initially("[]")
          List<Located<Correction>> corrections) {}

  /** What is taken out of a meter's readings: truth is reading times gain plus offset. */
  record Correction(
      @Meaning("The meter's function") String function,
      @Meaning("What a reading is multiplied by") @Initially("1") @Bounds(low = 0.9, high = 1.1)
          double gain,
      @Meaning("What is then added, of at most 0.5 in the plain unit") @Nullable Quantity offset,
      @Meaning("Standard uncertainty of what is left, in the reading's unit") @Nullable Quantity u)
      implements SelfChecked {
    private static final double MOST = 0.5;

    @Override
    public List<Problem> problems(Location section) {
      return offset != null && Math.abs(offset.value()) > MOST
          ? List.of(
              Problem.of(
                  section,
                  "an offset of " + offset,
                  "at most " + Quantity.of(MOST, offset.unit()) + ": more needs repair"))
          : List.of();
    }
  }

  /** A certificate of an instrument. */
  record Certificate(
      @Meaning("Its number") String number,
      @Meaning("The day of the calibration") LocalDate date,
      @Meaning("The last day on which it holds") Located<LocalDate> due,
      @Meaning("The laboratory") String by) {}

  /** Limits of error of one function. */
  record Accuracy(
      @Meaning("The meter's function") String function,
      @Meaning("Such as \"±(0.05 % + 3 digits)\"") Located<String> limits,
      @Meaning("What one count of the last digit is") @Nullable Quantity resolution,
      @Meaning("Full scale of the range in use") @Nullable Quantity range)
      implements SelfChecked {
    @Override
    public List<Problem> problems(Location section) {
      AccuracyClass read;
      try {
        read = AccuracyClass.parse(limits.value());
      } catch (IllegalArgumentException e) {
        return List.of(
            Problem.of(
                limits.location(),
                "limits: \"" + limits.value() + "\"",
                String.valueOf(e.getMessage())));
      }
      List<Problem> problems = new ArrayList<>();
      if (read.needsResolution() && (resolution == null || resolution.value() <= 0)) {
        problems.add(
            Problem.of(limits.location(), "digits without a resolution", "resolution: above zero"));
      }
      if (read.needsRange() && (range == null || range.value() <= 0)) {
        problems.add(
            Problem.of(
                limits.location(), "a part of a range that is not given", "range: above zero"));
      }
      return problems;
    }
  }

  /** A full scale. */
  record Level(
      @Meaning("The role of the audio interface") @Initially("audio") String role,
      @Meaning("The channel") String channel,
      @Meaning("The input range's route, if the bench has ranges") @Nullable String range,
      @Meaning("Rms of a sine that just reaches full scale") @In(Unit.VOLT) @Bounds(low = 1e-6)
          Quantity fullScale,
      @Meaning("Its standard uncertainty") @In(Unit.VOLT) @Bounds(low = 0) Quantity u,
      @Meaning("Degrees of freedom; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double dof) {
    String place() {
      return CalibrationDocument.place(role, channel, range);
    }
  }

  /** A ratio of two ranges. */
  record Attenuator(
      @Meaning("The role of the audio interface") @Initially("audio") String role,
      @Meaning("The channel") String channel,
      @Meaning("The input range's route") String range,
      @Meaning("Full scale of the range over that of the range at rest") @Bounds(low = 1e-6)
          double ratio,
      @Meaning("Its standard uncertainty") @Bounds(low = 0) double u,
      @Meaning("Degrees of freedom; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double dof) {}

  /** A response. */
  record Path(
      @Meaning("The role of the audio interface") @Initially("audio") String role,
      @Meaning("The channel") String channel,
      @Meaning("The input range's route, if the bench has ranges") @Nullable String range,
      @Meaning("By rising frequency, relative to the tone of the full scales")
          Located<List<Point>> points)
      implements SelfChecked {
    @Override
    public List<Problem> problems(Location section) {
      return rising(points.location(), points.value().stream().map(p -> p.at().value()).toList());
    }
  }

  /** A point of a response. */
  record Point(
      @Meaning("The frequency") @In(Unit.HERTZ) @Bounds(low = 1e-3) Quantity at,
      @Meaning("Level that comes back") @In(Unit.DECIBEL) Quantity level,
      @Meaning("Its standard uncertainty") @In(Unit.DECIBEL) @Bounds(low = 0) Quantity u,
      @Meaning("Degrees of freedom of that; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double dof,
      @Meaning("Phase that comes back") @In(Unit.DEGREE) Quantity phase,
      @Meaning("Its standard uncertainty; without it that of phases is not known")
          @In(Unit.DEGREE)
          @Bounds(low = 0)
          @Nullable Quantity phaseU,
      @Meaning("Degrees of freedom of that; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double phaseDof) {
    PathResponse.Point known() {
      return new PathResponse.Point(
          at.value(),
          level.value(),
          u.value(),
          dof == null ? Double.POSITIVE_INFINITY : dof,
          phase.value(),
          phaseU == null ? Double.NaN : phaseU.value(),
          phaseDof == null ? Double.POSITIVE_INFINITY : phaseDof);
    }
  }

  /** Own distortion and noise at one level. */
  record Residual(
      @Meaning("The role of the audio interface") @Initially("audio") String role,
      @Meaning("The channel") String channel,
      @Meaning("The input range's route, if the bench has ranges") @Nullable String range,
      @Meaning("The tone") @In(Unit.HERTZ) @Bounds(low = 1) Quantity at,
      @Meaning("Its level relative to full scale of the input") @In(Unit.DECIBEL) Quantity level,
      @Meaning("Distortion relative to the tone") @In(Unit.DECIBEL) Quantity thd,
      @Meaning(
              "Its standard uncertainty; that of one which may be noise altogether is about 8.7 dB")
          @In(Unit.DECIBEL)
          @Bounds(low = 0)
          @Nullable Quantity thdU,
      @Meaning("Degrees of freedom of that; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double thdDof,
      @Meaning("Noise from 20 Hz to 20 kHz relative to full scale of the input") @In(Unit.DECIBEL)
          Quantity noise,
      @Meaning("Its standard uncertainty") @In(Unit.DECIBEL) @Bounds(low = 0)
          @Nullable Quantity noiseU,
      @Meaning("Degrees of freedom of that; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double noiseDof,
      @Meaning("Distortion and noise up to 20 kHz relative to the tone") @In(Unit.DECIBEL)
          @Nullable Quantity thdPlusNoise,
      @Meaning("Standard uncertainty of that") @In(Unit.DECIBEL) @Bounds(low = 0)
          @Nullable Quantity u,
      @Meaning("Degrees of freedom of that; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double dof) {}

  /** A resistance. */
  record Resistor(
      @Meaning("The route that connects it, or \"fixed load\"") String route,
      @Meaning("As found, leads taken out") @In(Unit.OHM) @Bounds(low = 1e-6) Quantity resistance,
      @Meaning("Its standard uncertainty") @In(Unit.OHM) @Bounds(low = 0) Quantity u,
      @Meaning("Degrees of freedom; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double dof) {}

  /** Leakage between channels. */
  record Leakage(
      @Meaning("The role of the audio interface") @Initially("audio") String role,
      @Meaning("The channel that is driven") String from,
      @Meaning("The channel that is silent") String to,
      @Meaning("The tone") @In(Unit.HERTZ) @Bounds(low = 1) Quantity at,
      @Meaning("What comes in there, relative to what is driven") @In(Unit.DECIBEL) Quantity level,
      @Meaning("Its standard uncertainty") @In(Unit.DECIBEL) @Bounds(low = 0) @Nullable Quantity u,
      @Meaning("Degrees of freedom of that; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double dof) {}

  /** A delay. */
  record Delay(
      @Meaning("The role of the audio interface") @Initially("audio") String role,
      @Meaning("The channel") String channel,
      @Meaning("From output to input; may be negative where more was taken out") @In(Unit.SECOND)
          Quantity delay,
      @Meaning("Its standard uncertainty") @In(Unit.SECOND) @Bounds(low = 0) Quantity u,
      @Meaning("Degrees of freedom; infinite if left out") @Bounds(low = 0.1)
          @Nullable Double dof) {}

  @Override
  public List<Problem> problems(Location section) {
    List<Problem> problems = new ArrayList<>();
    if (due != null && due.value().isBefore(date)) {
      problems.add(Problem.of(due.location(), "due: " + due.value(), "a day not before " + date));
    }
    for (Located<Instrument> each : instruments.values()) {
      Certificate certificate = each.value().certificate();
      if (certificate != null && certificate.due().value().isBefore(certificate.date())) {
        problems.add(
            Problem.of(
                certificate.due().location(),
                "due: " + certificate.due().value(),
                "a day not before " + certificate.date()));
      }
    }
    instruments.forEach(
        (role, each) ->
            twice(
                problems,
                "limits of error of " + role,
                each.value().accuracy(),
                Accuracy::function));
    twice(problems, "a full scale of output", outputs, Level::place);
    twice(problems, "a full scale of input", inputs, Level::place);
    instruments.forEach(
        (role, each) ->
            twice(
                problems,
                "a correction of " + role,
                each.value().corrections(),
                Correction::function));
    twice(problems, "a ratio of", attenuators, a -> place(a.role(), a.channel(), a.range()));
    twice(problems, "a path of", paths, p -> place(p.role(), p.channel(), p.range()));
    twice(problems, "a resistance of", resistors, Resistor::route);
    twice(problems, "a delay of", delays, d -> place(d.role(), d.channel(), null));
    twice(
        problems,
        "a residual of",
        residuals,
        r -> place(r.role(), r.channel(), r.range()) + " at " + r.at() + ", " + r.level());
    twice(
        problems,
        "a leakage",
        leakages,
        l -> l.role() + " " + l.from() + " to " + l.to() + " at " + l.at());
    return problems;
  }

  private interface Naming<T> {
    String of(T entry);
  }

  private static <T> void twice(
      List<Problem> problems, String what, List<Located<T>> entries, Naming<T> naming) {
    Map<String, Location> seen = new HashMap<>();
    for (Located<T> entry : entries) {
      String name = naming.of(entry.value());
      Location before = seen.putIfAbsent(name, entry.location());
      if (before != null) {
        problems.add(
            Problem.of(
                entry.location(),
                what + " " + name + " a second time",
                "one; line " + before.line() + " has it already"));
      }
    }
  }

  static String place(String role, String channel, @Nullable String range) {
    return role + " " + channel + (range == null ? "" : " in " + range);
  }

  private static List<Problem> rising(Location location, List<Double> at) {
    if (at.size() < 2) {
      return List.of(Problem.of(location, "points: " + at.size(), "at least two"));
    }
    for (int i = 1; i < at.size(); i++) {
      if (at.get(i) <= at.get(i - 1)) {
        return List.of(
            Problem.of(
                location,
                "at: "
                    + Quantity.of(at.get(i), Unit.HERTZ).display()
                    + " not above the point before",
                "points by rising frequency"));
      }
    }
    return List.of();
  }
}
