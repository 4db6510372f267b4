package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.ToDoubleFunction;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.Crossings;
import kitproof.signal.Levels;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * THD+N, THD, harmonics and input voltage against rising output power, up to a stop criterion; the
 * power at 1 % and at 3 % THD+N and the input sensitivity, interpolated on a logarithmic axis.
 */
final class DistortionAgainstPowerProcedure
    implements Procedure<DistortionAgainstPowerProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the lowest power and the highest, which is never exceeded") @In(Unit.WATT)
          QuantityRange powers,
      @Meaning("the power whose input voltage is the input sensitivity")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          @Nullable Quantity rated,
      @Meaning("the tone") @In(Unit.HERTZ) @Initially("1 kHz") @Bounds(low = 1) Quantity frequency,
      @Meaning("stairs in ten times the power") @Initially("8") @Bounds(low = 2, high = 50)
          int perDecade,
      @Meaning("the distortion (thd+n) that ends the climb")
          @In(Unit.PERCENT)
          @Initially("5 %")
          @Bounds(low = 0.1, high = 50)
          Quantity until,
      @Meaning("the measuring band of thd+n")
          @In(Unit.HERTZ)
          @Initially("20 Hz..20 kHz")
          @Bounds(low = 0)
          QuantityRange band,
      @Meaning("the highest harmonic") @Initially("5") @Bounds(low = 2, high = 50) int harmonics,
      @Meaning("how long to listen on each stair") @Initially("100 ms") @Bounds(low = 0.02)
          Duration listen) {
    Settings {
      if (!(powers.low().value() > 0) || powers.high().value() < 4 * powers.low().value()) {
        throw new IllegalArgumentException(
            "\"powers\" from above zero to four times as much or more, such as \"50 mW..16 W\"");
      }
      if (band.low().equals(band.high())) {
        throw new IllegalArgumentException("a band that is wider than one frequency");
      }
    }
  }

  @Override
  public String id() {
    return "distortion-against-power";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    Conditions more = more(settings);
    List<Outline.Promise> promises = new ArrayList<>();
    promises.add(
        Outline.Promise.ofChannel("thd+n against power", inBand(settings), Unit.PERCENT, true)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    promises.add(
        Outline.Promise.ofChannel("thd against power", more, Unit.PERCENT, true)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    for (int order = 2; order <= settings.harmonics; order++) {
      promises.add(
          Outline.Promise.ofChannel(harmonic(order), more, Unit.DECIBEL, true)
              .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    }
    promises.add(
        Outline.Promise.ofChannel("input voltage against power", more, Unit.VOLT, true)
            .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT, Outline.Basis.LOAD));
    promises.add(
        Outline.Promise.ofChannel("power at 1 %", inBand(settings), Unit.WATT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    promises.add(
        Outline.Promise.ofChannel("clipping power", inBand(settings), Unit.WATT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    if (settings.rated != null) {
      promises.add(
          Outline.Promise.ofChannel(
                  "input sensitivity", rated(settings, settings.rated), Unit.VOLT, false)
              .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT, Outline.Basis.LOAD));
    }
    double decades = Math.log10(settings.powers.high().value() / settings.powers.low().value());
    return Outline.ofDriving(
            promises,
            settings.audio,
            settings
                .listen
                .plusMillis(100)
                .multipliedBy(Math.round(decades * settings.perDecade) + 2)
                .plusSeconds(2))
        .driving(settings.powers.high(), settings.listen);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    Band band = new Band(settings.band.low().in(Unit.HERTZ), settings.band.high().in(Unit.HERTZ));
    List<PowerStairs.Climb> climbs;
    if (band.highHz() > audio.sampleRateHz() / 2) {
      climbs =
          audio.channels().stream()
              .map(
                  channel ->
                      new PowerStairs.Climb(
                          List.of(), "the band reaches beyond half of the interface's sample rate"))
              .toList();
    } else {
      climbs =
          PowerStairs.climb(
              audio,
              new PowerStairs.Way(
                  settings.frequency.in(Unit.HERTZ),
                  settings.listen.toNanos() / 1e9,
                  band,
                  settings.harmonics,
                  settings.powers.low(),
                  settings.powers.high(),
                  Math.pow(10, 0.5 / settings.perDecade),
                  settings.until.in(Unit.PERCENT) / 100));
    }
    List<Measurement> measurements = new ArrayList<>();
    for (int c = 0; c < climbs.size(); c++) {
      measurements.addAll(figures(settings, climbs.get(c), audio.channels().get(c).conditions()));
    }
    return measurements;
  }

  static List<Measurement> figures(Settings settings, PowerStairs.Climb climb, Conditions own) {
    Conditions conditions = own.and(more(settings));
    Conditions inBand = own.and(inBand(settings));
    List<PowerStairs.Stair> stairs = climb.stairs();
    String trouble = climb.trouble().isEmpty() ? "no stair came back" : climb.trouble();
    List<Measurement> measurements = new ArrayList<>();
    measurements.add(
        OwnResidual.noted(
            curve(
                "thd+n against power",
                inBand,
                Unit.PERCENT,
                stairs,
                s -> 100 * s.figures().thdPlusNoise(),
                trouble),
            stairs.stream().mapToDouble(PowerStairs.Stair::own).toArray()));
    measurements.add(
        OwnResidual.noted(
            curve(
                "thd against power",
                conditions,
                Unit.PERCENT,
                stairs,
                s -> s.figures().harmonics().isEmpty() ? Double.NaN : 100 * s.figures().thd(),
                stairs.isEmpty() ? trouble : "no harmonic lies within the measuring band"),
            ownThd(stairs)));
    for (int order = 2; order <= settings.harmonics; order++) {
      int wanted = order;
      measurements.add(
          OwnResidual.noted(
              curve(
                  harmonic(order),
                  conditions,
                  Unit.DECIBEL,
                  stairs,
                  s ->
                      s.figures()
                          .harmonic(wanted)
                          .map(h -> Levels.db(h.ratio()))
                          .orElse(Double.NaN),
                  stairs.isEmpty() ? trouble : "it does not lie within the measuring band"),
              ownThd(stairs)));
    }
    measurements.add(
        curve(
            "input voltage against power",
            conditions,
            Unit.VOLT,
            stairs,
            PowerStairs.Stair::inputVolts,
            trouble));
    measurements.add(powerAt("power at 1 %", 1, inBand, stairs, trouble));
    measurements.add(powerAt("clipping power", 3, inBand, stairs, trouble));
    if (settings.rated != null) {
      measurements.add(
          sensitivity(settings.rated, own.and(rated(settings, settings.rated)), stairs, trouble));
    }
    return measurements;
  }

  /** By stair; thd and harmonics are there on all of them or on none. */
  private static double[] ownThd(List<PowerStairs.Stair> stairs) {
    return stairs.stream().mapToDouble(PowerStairs.Stair::ownThd).toArray();
  }

  /** A curve of the stairs that have a finite value. */
  private static Measurement curve(
      String name,
      Conditions conditions,
      Unit unit,
      List<PowerStairs.Stair> stairs,
      ToDoubleFunction<PowerStairs.Stair> value,
      String trouble) {
    List<PowerStairs.Stair> having =
        stairs.stream().filter(s -> Double.isFinite(value.applyAsDouble(s))).toList();
    if (having.isEmpty()) {
      return Measurement.invalid(name, conditions, trouble);
    }
    Curve curve =
        Curve.of(Unit.WATT, watts(having), unit, having.stream().mapToDouble(value).toArray());
    Measurement found = Measurement.of(name, conditions, curve);
    return having.get(0).trust().isEmpty()
        ? found
        : Budgeted.onCurve(found, i -> known(name, curve.y(i), having, having.get(i)));
  }

  private static Budgeted known(
      String name, double value, List<PowerStairs.Stair> stairs, PowerStairs.Stair stair) {
    PowerStairs.Trusted trust = stair.trust().orElseThrow();
    return name.startsWith("input")
        ? trust.input(rise(stairs, stair.watts())).figure(value, Unit.VOLT)
        : trust.distortion().of(name);
  }

  private static double[] watts(List<PowerStairs.Stair> stairs) {
    return stairs.stream().mapToDouble(PowerStairs.Stair::watts).toArray();
  }

  private static Measurement powerAt(
      String name,
      double percent,
      Conditions conditions,
      List<PowerStairs.Stair> stairs,
      String trouble) {
    if (stairs.isEmpty()) {
      return Measurement.invalid(name, conditions, trouble);
    }
    double[] distortion =
        stairs.stream().mapToDouble(s -> 100 * s.figures().thdPlusNoise()).toArray();
    OptionalDouble found = Crossings.rising(watts(stairs), distortion, percent);
    return found.isPresent()
        ? knownPower(
            Measurement.of(name, conditions, Quantity.of(found.getAsDouble(), Unit.WATT)),
            stairs,
            Slope.of(watts(stairs), distortion, found.getAsDouble()))
        : Measurement.invalid(
            name,
            conditions,
            "thd+n does not rise through "
                + Quantity.of(percent, Unit.PERCENT)
                + " up to "
                + Quantity.of(stairs.get(stairs.size() - 1).watts(), Unit.WATT).display());
  }

  /** The stair nearest to a power. */
  private static PowerStairs.Stair at(List<PowerStairs.Stair> stairs, double watts) {
    return stairs.stream()
        .min(Comparator.comparingDouble(s -> Math.abs(Math.log(s.watts() / watts))))
        .orElseThrow();
  }

  /** The distortion at a power is known so well as if that were exact; here it is the other way. */
  private static Measurement knownPower(
      Measurement power, List<PowerStairs.Stair> stairs, double slope) {
    if (stairs.get(0).trust().isEmpty()) {
      return power;
    }
    return Budgeted.on(
        power,
        watts -> {
          PowerStairs.Trusted trust = at(stairs, watts.value()).trust().orElseThrow();
          return trust
              .watts()
              .figure(watts.value(), Unit.WATT)
              .and(trust.distortion().reading().scaled(-1 / slope));
        });
  }

  private static Measurement sensitivity(
      Quantity rated, Conditions conditions, List<PowerStairs.Stair> stairs, String trouble) {
    String name = "input sensitivity";
    if (stairs.isEmpty()) {
      return Measurement.invalid(name, conditions, trouble);
    }
    double[] volts = stairs.stream().mapToDouble(PowerStairs.Stair::inputVolts).toArray();
    OptionalDouble found = Crossings.at(watts(stairs), volts, rated.in(Unit.WATT));
    return found.isPresent()
        ? known(
            Measurement.of(name, conditions, Quantity.of(found.getAsDouble(), Unit.VOLT)),
            stairs,
            rated.in(Unit.WATT))
        : Measurement.invalid(
            name,
            conditions,
            rated.display() + " does not lie within the powers that were reached");
  }

  /** By how much the drive rises with the power, both relative: a half where nothing clips. */
  private static double rise(List<PowerStairs.Stair> stairs, double watts) {
    return stairs.size() < 2
        ? 0.5
        : Slope.of(
            stairs.stream().mapToDouble(s -> Math.log(s.watts())).toArray(),
            stairs.stream().mapToDouble(s -> Math.log(s.inputVolts())).toArray(),
            Math.log(watts));
  }

  private static Measurement known(
      Measurement input, List<PowerStairs.Stair> stairs, double watts) {
    PowerStairs.Stair stair = at(stairs, watts);
    return stair.trust().isEmpty()
        ? input
        : Budgeted.on(
            input,
            volts ->
                stair.trust().get().input(rise(stairs, watts)).figure(volts.value(), Unit.VOLT));
  }

  private static String harmonic(int order) {
    return "harmonic " + order + " against power";
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("frequency", settings.frequency.display());
  }

  private static Conditions inBand(Settings settings) {
    return more(settings)
        .with("band", settings.band.low().display() + ".." + settings.band.high().display());
  }

  private static Conditions rated(Settings settings, Quantity rated) {
    return more(settings).with("power", rated.display());
  }
}
