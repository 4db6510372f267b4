package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.signal.Impedance;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * Input impedance against frequency from the output with and without a known resistor in series
 * with the input (IEC 60268-3).
 */
final class InputImpedanceProcedure implements Procedure<InputImpedanceProcedure.Settings> {
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
      @Meaning("the resistor, as measured") @In(Unit.OHM) @Bounds(low = 1) Quantity resistor,
      @Meaning("the resistance of the interface's output")
          @In(Unit.OHM)
          @Initially("0 ohm")
          @Bounds(low = 0)
          Quantity source,
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

  @Override
  public String id() {
    return "input-impedance";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    Conditions more = more(settings);
    String at = " at " + settings.frequency.display();
    return new Outline(
            List.of(
                Outline.Promise.ofChannel("input impedance", more, Unit.OHM, true),
                Outline.Promise.ofChannel("input impedance phase", more, Unit.DEGREE, true),
                Outline.Promise.ofChannel("input impedance" + at, more, Unit.OHM, false)),
            List.of(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, "")),
            true,
            Outline.MainsUse.NONE,
            settings.sweep.multipliedBy(2).plusSeconds(3))
        .exchanging(settings.throughResistor)
        .driving(settings.power, settings.sweep);
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display());
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    List<Measurement> all = new ArrayList<>();
    for (TwoSweeps sweeps :
        TwoSweeps.play(
            bench,
            settings.audio,
            settings.power,
            settings.frequency,
            settings.band,
            settings.sweep,
            settings.throughResistor)) {
      all.addAll(results(settings, sweeps));
    }
    return all;
  }

  private List<Measurement> results(Settings settings, TwoSweeps sweeps) {
    Outline outline = outline(settings);
    Conditions under = sweeps.channel().conditions();
    if (!sweeps.trouble().isEmpty()) {
      return outline.invalid(under, sweeps.trouble());
    }
    try {
      Impedance impedance =
          Impedance.ofInput(
              sweeps.frequencies(),
              sweeps.first().response()::at,
              sweeps.second().response()::at,
              settings.resistor.in(Unit.OHM),
              settings.source.in(Unit.OHM));
      Conditions conditions = under.and(more(settings));
      double at = impedance.magnitudeAt(settings.frequency.in(Unit.HERTZ));
      return List.of(
          Measurement.of("input impedance", conditions, impedance.magnitude()),
          Measurement.of("input impedance phase", conditions, impedance.phase()),
          Measurement.of(
              "input impedance at " + settings.frequency.display(),
              conditions,
              Quantity.of(at, Unit.OHM)));
    } catch (IllegalArgumentException e) {
      return outline.invalid(under, String.valueOf(e.getMessage()));
    }
  }
}
