package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Impedance;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Output impedance and damping factor against frequency, from one sweep into each of two loads (IEC
 * 60268-3); the output is never without one.
 */
final class OutputImpedanceProcedure extends HeardProcedure<OutputImpedanceProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power at the frequency of the figures, into the step's own load")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          Quantity power,
      @Meaning(
              "the route to the second load, selected for the second sweep; \"{tap}\" stands for"
                  + " the step's condition tap")
          String secondLoad,
      @Meaning(
              "the load that damping factors refer to; if not given, that which the step's condition"
                  + " tap names, such as 8 ohm, or else the step's own as measured")
          @In(Unit.OHM)
          @Bounds(low = 1e-3)
          @Nullable Quantity nominalLoad,
      @Meaning("from where to where") @In(Unit.HERTZ) @Initially("20 Hz..20 kHz")
          QuantityRange band,
      @Meaning("how long each sweep lasts, about") @Initially("2 s") @Bounds(low = 0.1)
          Duration sweep,
      @Meaning("where the figures are read off the curves")
          @In(Unit.HERTZ)
          @Initially("1 kHz")
          @Bounds(low = 1)
          Quantity frequency) {
    Settings {
      SweptBand.requireInside(band, frequency);
    }
  }

  OutputImpedanceProcedure() {
    super("output-impedance", Settings.class);
  }

  @Override
  String audio(Settings settings) {
    return settings.audio;
  }

  @Override
  Duration expected(Settings settings) {
    return settings.sweep.multipliedBy(2).plusSeconds(3);
  }

  @Override
  Outline.Drive drive(Settings settings) {
    return new Outline.Drive(settings.power, settings.sweep);
  }

  @Override
  List<Outline.Promise> promises(Settings settings) {
    Conditions more = Conditions.of("power", settings.power.display());
    String at = " at " + settings.frequency.display();
    return List.of(
        Outline.Promise.ofChannel("output impedance", more, Unit.OHM, true)
            .known(Outline.Basis.LOAD, Outline.Basis.EXCHANGED),
        Outline.Promise.ofChannel("output impedance phase", more, Unit.DEGREE, true)
            .known(Outline.Basis.LOAD, Outline.Basis.EXCHANGED),
        Outline.Promise.ofChannel("damping factor", more, Unit.ONE, true)
            .known(Outline.Basis.LOAD, Outline.Basis.EXCHANGED),
        Outline.Promise.ofChannel("output impedance" + at, more, Unit.OHM, false)
            .known(Outline.Basis.LOAD, Outline.Basis.EXCHANGED),
        Outline.Promise.ofChannel("damping factor" + at, more, Unit.ONE, false)
            .known(Outline.Basis.LOAD, Outline.Basis.EXCHANGED));
  }

  @Override
  public Outline outline(Settings settings) {
    return super.outline(settings).exchanging(settings.secondLoad);
  }

  @Override
  Take<TwoSweeps> take(Settings settings, StepBench bench, ToneBench audio)
      throws InstrumentException, InterruptedException {
    List<TwoSweeps> sweeps =
        TwoSweeps.play(
            bench,
            audio,
            settings.power,
            settings.frequency,
            settings.band,
            settings.sweep,
            settings.secondLoad);
    Optional<Quantity> nominal = nominal(settings, bench.conditions());
    return new Take<>(
        sweeps,
        both -> figures(settings, both, nominal.map(n -> n.in(Unit.OHM)).orElse(both.firstOhms())),
        (both, result) ->
            known(
                settings, both, nominal.map(n -> n.in(Unit.OHM)).orElse(both.firstOhms()), result));
  }

  private static Measurement known(
      Settings settings, TwoSweeps sweeps, double nominal, Measurement result) {
    ImpedanceTrust trust =
        new ImpedanceTrust(
            sweeps,
            new double[] {sweeps.firstOhms(), sweeps.secondOhms()},
            sweeps.loads(),
            (hertz, ohms, first, second) ->
                Impedance.ofSource(
                    new double[] {hertz},
                    first.response().changed(first.relative(), first.radians()),
                    ohms[0],
                    second.response().changed(second.relative(), second.radians()),
                    ohms[1]));
    ToDoubleFunction<Impedance> figure =
        result.name().contains("phase")
            ? impedance -> impedance.phase().y(0)
            : result.name().startsWith("damping")
                ? impedance -> impedance.dampingFactor(nominal).y(0)
                : impedance -> impedance.magnitude().y(0);
    return trust.on(result, settings.frequency.in(Unit.HERTZ), figure);
  }

  /** What the output is made for (IEC 60268-3, from memory), not what hangs on it. */
  private static Optional<Quantity> nominal(Settings settings, Conditions conditions) {
    if (settings.nominalLoad != null) {
      return Optional.of(settings.nominalLoad);
    }
    try {
      Quantity tap = Quantity.parse(conditions.values().getOrDefault("tap", ""), Unit.OHM);
      return tap.value() > 0 ? Optional.of(tap) : Optional.empty();
    } catch (IllegalArgumentException aName) {
      return Optional.empty();
    }
  }

  private static List<Figure> figures(Settings settings, TwoSweeps sweeps, double nominal) {
    Impedance impedance =
        Impedance.ofSource(
            sweeps.frequencies(),
            sweeps.first().response()::at,
            sweeps.firstOhms(),
            sweeps.second().response()::at,
            sweeps.secondOhms());
    double at = settings.frequency.in(Unit.HERTZ);
    return List.of(
        new Figure.OfCurve(impedance.magnitude()),
        new Figure.OfCurve(impedance.phase()),
        new Figure.OfCurve(impedance.dampingFactor(nominal)),
        Promised.figure(impedance.magnitudeAt(at), Unit.OHM),
        Promised.figure(impedance.dampingFactorAt(nominal, at), Unit.ONE));
  }
}
