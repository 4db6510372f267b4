package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.function.ToDoubleFunction;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Impedance;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Input impedance against frequency from the output with and without a known resistor in series
 * with the input (IEC 60268-3).
 */
final class InputImpedanceProcedure extends HeardProcedure<InputImpedanceProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power without the resistor, at the frequency of the figure")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          Quantity power,
      @Meaning(
              "the route that puts the resistor in series, selected for the second sweep;"
                  + " \"{channel}\" stands for the step's condition channel")
          String throughResistor,
      @Meaning("the resistor, as measured; a calibration of its route counts instead")
          @In(Unit.OHM)
          @Bounds(low = 1)
          Quantity resistor,
      @Meaning("the resistance of the interface's output")
          @In(Unit.OHM)
          @Initially("0 ohm")
          @Bounds(low = 0)
          Quantity source,
      @Meaning("the most that it is off by; without it the uncertainty of the figures is not known")
          @In(Unit.OHM)
          @Bounds(low = 0)
          @Nullable Quantity sourceWithin,
      @Meaning("from where to where") @In(Unit.HERTZ) @Initially("20 Hz..20 kHz")
          QuantityRange band,
      @Meaning("how long each sweep lasts, about") @Initially("2 s") @Bounds(low = 0.1)
          Duration sweep,
      @Meaning("where the figure is read off the curve")
          @In(Unit.HERTZ)
          @Initially("1 kHz")
          @Bounds(low = 1)
          Quantity frequency) {
    Settings {
      SweptBand.requireInside(band, frequency);
    }
  }

  InputImpedanceProcedure() {
    super("input-impedance", Settings.class);
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
    Outline.Basis[] by = basis(settings);
    return List.of(
        Outline.Promise.ofChannel("input impedance", more, Unit.OHM, true).known(by),
        Outline.Promise.ofChannel("input impedance phase", more, Unit.DEGREE, true).known(by),
        Outline.Promise.ofChannel("input impedance" + at, more, Unit.OHM, false).known(by));
  }

  /** What a calibration has to hold, and what the step does not state. */
  private static Outline.Basis[] basis(Settings settings) {
    return settings.sourceWithin == null
        ? new Outline.Basis[] {Outline.Basis.EXCHANGED, Outline.Basis.SOURCE_WITHIN}
        : new Outline.Basis[] {Outline.Basis.EXCHANGED};
  }

  @Override
  public Outline outline(Settings settings) {
    return super.outline(settings).exchanging(settings.throughResistor);
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
            settings.throughResistor);
    return new Take<>(
        sweeps,
        both -> figures(settings, both, resistor(settings, bench, both)),
        (both, result) -> known(settings, bench, audio, both, result));
  }

  private static Measurement known(
      Settings settings, StepBench bench, ToneBench audio, TwoSweeps sweeps, Measurement result) {
    String route = sweeps.channel().conditions().fill(settings.throughResistor);
    AudioTrust known = audio.trust().orElseThrow();
    ImpedanceTrust trust =
        new ImpedanceTrust(
            sweeps,
            new double[] {resistor(settings, bench, sweeps), settings.source.in(Unit.OHM)},
            List.of(known.resistor(route), source(settings)),
            (hertz, ohms, first, second) ->
                Impedance.ofInput(
                    new double[] {hertz},
                    first.response().changed(first.relative(), first.radians()),
                    second.response().changed(second.relative(), second.radians()),
                    ohms[0],
                    Math.max(0, ohms[1])));
    ToDoubleFunction<Impedance> figure =
        result.name().contains("phase")
            ? impedance -> impedance.phase().y(0)
            : impedance -> impedance.magnitude().y(0);
    return trust.on(result, settings.frequency.in(Unit.HERTZ), figure);
  }

  private static Factor source(Settings settings) {
    return settings.sourceWithin == null
        ? Factor.lacking("source-within, the most that the interface's output resistance is off by")
        : new Factor(
            List.of(
                Contribution.within(
                    "resistance of the interface's output",
                    Contribution.Distribution.RECTANGULAR,
                    settings.sourceWithin.in(Unit.OHM),
                    Unit.OHM)),
            List.of());
  }

  /** The resistor as calibrated, or else as the plan has it. */
  private static double resistor(Settings settings, StepBench bench, TwoSweeps sweeps) {
    String route = sweeps.channel().conditions().fill(settings.throughResistor);
    return bench
        .calibration()
        .flatMap(calibration -> calibration.resistance(route))
        .map(known -> known.value().in(Unit.OHM))
        .orElse(settings.resistor.in(Unit.OHM));
  }

  private static List<Figure> figures(Settings settings, TwoSweeps sweeps, double resistor) {
    Impedance impedance =
        Impedance.ofInput(
            sweeps.frequencies(),
            sweeps.first().response()::at,
            sweeps.second().response()::at,
            resistor,
            settings.source.in(Unit.OHM));
    return List.of(
        new Figure.OfCurve(impedance.magnitude()),
        new Figure.OfCurve(impedance.phase()),
        Promised.figure(impedance.magnitudeAt(settings.frequency.in(Unit.HERTZ)), Unit.OHM));
  }
}
