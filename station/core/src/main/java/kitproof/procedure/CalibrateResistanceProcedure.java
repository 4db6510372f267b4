package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Answer;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Question;
import kitproof.uncertainty.AccuracyClass;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Resistances of the bench, each as a route connects it: dummy loads, a resistor for input
 * impedance, a check standard. With four wires, or with two whose leads are put together first.
 */
final class CalibrateResistanceProcedure
    implements Procedure<CalibrateResistanceProcedure.Settings> {
  static final String RESULT = "resistance as connected";
  static final String ROUTE = "route";

  record Settings(
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function: resistance, at the leads on the resistor")
          @Initially("resistance")
          String function,
      @Meaning("the meter's limits of error, such as \"±(0.05 % + 3 digits)\"") String limits,
      @Meaning("what one count of the meter's last digit is") @In(Unit.OHM) @Bounds(low = 1e-9)
          Quantity resolution,
      @Meaning("full scale of the meter's range, where its limits are a part of it") @In(Unit.OHM)
          @Nullable Quantity meterRange,
      @Meaning("the routes that connect the resistors, selected in turn; or \"fixed load\"")
          List<String> routes,
      @Meaning("two wires: the route that puts the leads together") @Nullable String leadsTogether,
      @Meaning("two wires: the person is asked to put the leads together, and then on the resistor")
          @Initially("false")
          boolean leadsByHand,
      @Meaning("the role of that person") @Initially("operator") String operator,
      @Meaning("what the contacts of clips or relays may add or take away, at most")
          @In(Unit.OHM)
          @Initially("0 ohm")
          @Bounds(low = 0)
          Quantity contact,
      @Meaning("how many readings of each") @Initially("8") @Bounds(low = 3, high = 100)
          int repeats) {
    Settings {
      if (routes.isEmpty()) {
        throw new IllegalArgumentException("routes, at least one");
      }
      if (leadsByHand && leadsTogether != null) {
        throw new IllegalArgumentException("leads-together or leads-by-hand, not both");
      }
      var unused = reading(meter, function, limits, resolution, meterRange, contact, repeats);
    }

    ResistorReading reading() {
      return reading(meter, function, limits, resolution, meterRange, contact, repeats);
    }

    private static ResistorReading reading(
        String meter,
        String function,
        String limits,
        Quantity resolution,
        @Nullable Quantity range,
        Quantity contact,
        int repeats) {
      return new ResistorReading(
          meter, function, AccuracyClass.parse(limits), resolution, range, contact, repeats);
    }
  }

  /** What a bench without switched loads calls its load. */
  private static final String FIXED = "fixed load";

  private static final String CAUTION =
      "Mains off, the unit off the bench and discharged. Loads that have been driven are hot.";

  @Override
  public String id() {
    return "calibrate-resistance";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    List<Outline.Need> needs = new ArrayList<>();
    needs.add(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function));
    if (settings.leadsByHand) {
      needs.add(new Outline.Need(settings.operator, InstrumentKind.OPERATOR, ""));
    }
    return new Outline(
        settings.routes.stream()
            .map(route -> new Outline.Promise(RESULT, at(route), Unit.OHM, false))
            .toList(),
        needs,
        false,
        Outline.MainsUse.COLD,
        settings.reading().expected().multipliedBy(settings.routes.size() + 1L));
  }

  private static Conditions at(String route) {
    return Conditions.of(ROUTE, route);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ResistorReading reading = settings.reading();
    String together = settings.leadsTogether;
    List<Double> leads = List.of();
    if (together != null) {
      leads = bench.rerouted(List.of(together), () -> reading.read(bench));
    } else if (settings.leadsByHand) {
      ask(settings, bench, "Put the leads of " + settings.meter + " together");
      leads = reading.read(bench);
    }
    List<Measurement> results = new ArrayList<>();
    for (String route : settings.routes) {
      if (settings.leadsByHand) {
        ask(settings, bench, "Put the leads of " + settings.meter + " on \"" + route + "\"");
      }
      List<Double> readings =
          route.equals(FIXED)
              ? reading.read(bench)
              : bench.rerouted(List.of(route), () -> reading.read(bench));
      results.add(reading.result(RESULT, at(route), readings, leads, 0, bench));
    }
    return results;
  }

  private static void ask(Settings settings, StepBench bench, String say)
      throws InstrumentException, InterruptedException {
    Optional<Answer> answer =
        Asking.ask(
            bench,
            bench.operator(settings.operator),
            new Question.Confirm(say, CAUTION),
            Duration.ZERO);
    if (answer.filter(Answer.Done.class::isInstance).isEmpty()) {
      throw new InstrumentException(InstrumentException.Kind.OTHER, Asking.why(answer));
    }
  }
}
