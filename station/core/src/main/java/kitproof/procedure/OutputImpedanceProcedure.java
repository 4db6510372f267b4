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
import org.jspecify.annotations.Nullable;

/**
 * Output impedance and damping factor against frequency, from one sweep into each of two loads (IEC
 * 60268-3); the output is never without one.
 */
final class OutputImpedanceProcedure implements Procedure<OutputImpedanceProcedure.Settings> {
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
      @Meaning("the load that damping factors refer to; the step's own as measured if not given")
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

  @Override
  public String id() {
    return "output-impedance";
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
                Outline.Promise.ofChannel("output impedance", more, Unit.OHM, true),
                Outline.Promise.ofChannel("output impedance phase", more, Unit.DEGREE, true),
                Outline.Promise.ofChannel("damping factor", more, Unit.ONE, true),
                Outline.Promise.ofChannel("output impedance" + at, more, Unit.OHM, false),
                Outline.Promise.ofChannel("damping factor" + at, more, Unit.ONE, false)),
            List.of(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, "")),
            true,
            Outline.MainsUse.NONE,
            settings.sweep.multipliedBy(2).plusSeconds(3))
        .exchanging(settings.secondLoad)
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
            settings.secondLoad)) {
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
          Impedance.ofSource(
              sweeps.frequencies(),
              sweeps.first().response()::at,
              sweeps.firstOhms(),
              sweeps.second().response()::at,
              sweeps.secondOhms());
      double nominal =
          settings.nominalLoad == null ? sweeps.firstOhms() : settings.nominalLoad.in(Unit.OHM);
      double at = settings.frequency.in(Unit.HERTZ);
      Conditions conditions = under.and(more(settings));
      String where = " at " + settings.frequency.display();
      return List.of(
          Measurement.of("output impedance", conditions, impedance.magnitude()),
          Measurement.of("output impedance phase", conditions, impedance.phase()),
          Measurement.of("damping factor", conditions, impedance.dampingFactor(nominal)),
          Measurement.of(
              "output impedance" + where,
              conditions,
              Quantity.of(impedance.magnitudeAt(at), Unit.OHM)),
          Measurement.of(
              "damping factor" + where,
              conditions,
              Quantity.of(impedance.dampingFactorAt(nominal, at), Unit.ONE)));
    } catch (IllegalArgumentException e) {
      return outline.invalid(under, String.valueOf(e.getMessage()));
    }
  }
}
