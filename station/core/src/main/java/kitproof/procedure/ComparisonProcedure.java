package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.calibration.Standing;
import kitproof.document.Meaning;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * A result of this run against the same result under another condition, or of another unit: how far
 * one channel, tap, mode or unit is from another. Uses no instrument.
 *
 * <p>Of two figures the difference; of two curves the curve of differences and the worst of them,
 * that of the largest magnitude with its sign.
 *
 * <p>The condition "unit" names another unit: by its serial number, or "reference" for the one that
 * whoever starts the run names. Its record is given to the step; nothing is read here.
 */
final class ComparisonProcedure implements Procedure<ComparisonProcedure.Settings> {
  private static final String UNIT = "unit";

  record Settings(
      @Meaning("the result to compare, if it is a figure") @Nullable String result,
      @Meaning("the result to compare, if it is a curve") @Nullable String curve,
      @Meaning("what the first holds under, beyond the step's conditions") @Nullable Conditions of,
      @Meaning(
              "what the other holds under, which is subtracted; unit: SERIAL takes it from the last"
                  + " passed record of that unit, unit: reference from that of the unit which run"
                  + " --reference names")
          Conditions against) {
    Settings {
      if ((result == null) == (curve == null)) {
        throw new IllegalArgumentException("either \"result\", for a figure, or \"curve\"");
      }
      if (against.isEmpty()) {
        throw new IllegalArgumentException("under \"against\" what makes the other another");
      }
      if (of != null && of.values().containsKey(UNIT)) {
        throw new IllegalArgumentException("under \"of\" no unit: the first is of this run");
      }
    }

    /** Its name, whichever it is. */
    String name() {
      return result != null ? result : String.valueOf(curve);
    }

    Conditions first() {
      return of == null ? Conditions.NONE : of;
    }

    /** The other unit as the plan names it; empty if the other is of this run too. */
    String otherUnit() {
      return against.values().getOrDefault(UNIT, "");
    }

    /** What the other holds under: of another unit the same as the first, where nothing is said. */
    Conditions second() {
      if (otherUnit().isEmpty()) {
        return against;
      }
      Map<String, String> rest = new LinkedHashMap<>(against.values());
      rest.remove(UNIT);
      return first().and(new Conditions(rest));
    }
  }

  @Override
  public String id() {
    return "comparison";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    boolean curve = settings.curve != null;
    Conditions more = more(settings);
    List<Outline.Promise> promises = new ArrayList<>();
    promises.add(
        new Outline.Promise(name(settings), more, null, curve).known(Outline.Basis.OBSERVED));
    if (curve) {
      promises.add(
          new Outline.Promise("worst " + name(settings), more, null, false)
              .known(Outline.Basis.OBSERVED));
    }
    return new Outline(
        promises,
        List.of(),
        false,
        false,
        Outline.MainsUse.NONE,
        Duration.ZERO,
        null,
        List.of(),
        List.of(
            new Outline.Earlier(settings.name(), settings.first(), curve),
            new Outline.Earlier(settings.name(), settings.second(), curve, settings.otherUnit())));
  }

  private static String name(Settings settings) {
    return settings.name() + " difference";
  }

  private static Conditions more(Settings settings) {
    Conditions more = settings.first();
    for (var other : settings.against.values().entrySet()) {
      more = more.with("against " + other.getKey(), other.getValue());
    }
    return more;
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench) {
    Conditions conditions = bench.conditions().and(more(settings));
    try {
      Measurement first = earlier(settings.name(), bench, bench.earlier(), settings.first(), "");
      ReferenceUnit unit = unit(settings, bench);
      Measurement other =
          unit == null
              ? earlier(settings.name(), bench, bench.earlier(), settings.second(), "")
              : earlier(
                  settings.name(), bench, unit.results(), settings.second(), " of " + unit.unit());
      Difference difference = Difference.of(first.figure(), other.figure());
      List<Measurement> all = new ArrayList<>();
      Quantity worst = difference.worst();
      if (settings.curve != null) {
        all.add(
            DifferenceTrust.ofCurve(
                Measurement.of(name(settings), conditions, difference.asCurve()), first, other));
        all.add(
            DifferenceTrust.worst(
                Measurement.of("worst " + name(settings), conditions, worst), all.get(0)));
      } else {
        all.add(
            DifferenceTrust.of(Measurement.of(name(settings), conditions, worst), first, other));
      }
      return unit == null
          ? all
          : all.stream().map(m -> m.noted(note(m, first, other, unit))).toList();
    } catch (IllegalArgumentException e) {
      return outline(settings).invalid(bench.conditions(), String.valueOf(e.getMessage()));
    }
  }

  /** With what it was compared, and what that leaves out or counts twice. */
  private static String note(
      Measurement difference, Measurement first, Measurement other, ReferenceUnit unit) {
    StringBuilder note = new StringBuilder(unit.less());
    if (difference.figure() instanceof Figure.OfCurve of
        && first.figure() instanceof Figure.OfCurve whole
        && of.curve().size() < whole.curve().size()) {
      note.append(", from ")
          .append(Quantity.of(of.curve().x(0), of.curve().xUnit()).display())
          .append(" to ")
          .append(Quantity.of(of.curve().x(of.curve().size() - 1), of.curve().xUnit()).display())
          .append(", where both are known");
    }
    if (difference.uncertainty() != null && unit.sameCalibration()) {
      note.append(
          "; both by one calibration, so that its part of the uncertainty is rather too large");
    }
    String mark = Standing.markOf(other.note());
    if (!mark.isEmpty()) {
      note.append("; that one ").append(mark);
    }
    return note.toString();
  }

  private static @Nullable ReferenceUnit unit(Settings settings, StepBench bench) {
    String name = settings.otherUnit();
    if (name.isEmpty()) {
      return null;
    }
    return bench
        .otherUnit(name)
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    name.equals(AgainstUnit.NAMED)
                        ? "no reference unit was named"
                        : "no passed record of " + name + " was given to the run"));
  }

  private static Measurement earlier(
      String name, StepBench bench, List<Measurement> among, Conditions more, String ofUnit) {
    Conditions wanted = bench.conditions().and(more);
    List<Measurement> found =
        among.stream()
            .filter(m -> m.name().equals(name) && m.conditions().satisfy(wanted))
            .toList();
    if (found.size() != 1) {
      throw new IllegalArgumentException(
          (found.isEmpty() ? "no " : found.size() + " results ")
              + name
              + ofUnit
              + " under \""
              + wanted
              + "\"");
    }
    Measurement one = found.get(0);
    if (one.figure() instanceof Figure.Invalid invalid) {
      throw new IllegalArgumentException(one.title() + ofUnit + " is invalid: " + invalid.reason());
    }
    return one;
  }
}
