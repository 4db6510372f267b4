package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Meaning;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * A result of this run against the same result under another condition: how far one channel, tap or
 * mode is from another. Uses no instrument.
 *
 * <p>Of two figures the difference; of two curves the curve of differences and the worst of them,
 * that of the largest magnitude with its sign.
 */
final class ComparisonProcedure implements Procedure<ComparisonProcedure.Settings> {
  record Settings(
      @Meaning("the result to compare, if it is a figure") @Nullable String result,
      @Meaning("the result to compare, if it is a curve") @Nullable String curve,
      @Meaning("what the first holds under, beyond the step's conditions") @Nullable Conditions of,
      @Meaning("what the other holds under, which is subtracted") Conditions against) {
    Settings {
      if ((result == null) == (curve == null)) {
        throw new IllegalArgumentException("either \"result\", for a figure, or \"curve\"");
      }
    }

    /** Its name, whichever it is. */
    String name() {
      return result != null ? result : String.valueOf(curve);
    }

    Conditions first() {
      return of == null ? Conditions.NONE : of;
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
            new Outline.Earlier(settings.name(), settings.against, curve)));
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
      Measurement first = earlier(settings, bench, settings.first());
      Measurement other = earlier(settings, bench, settings.against);
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
      return all;
    } catch (IllegalArgumentException e) {
      return outline(settings).invalid(bench.conditions(), String.valueOf(e.getMessage()));
    }
  }

  private static Measurement earlier(Settings settings, StepBench bench, Conditions more) {
    Conditions wanted = bench.conditions().and(more);
    List<Measurement> found =
        bench.earlier().stream()
            .filter(m -> m.name().equals(settings.name()) && m.conditions().satisfy(wanted))
            .toList();
    if (found.size() != 1) {
      throw new IllegalArgumentException(
          (found.isEmpty() ? "no " : found.size() + " results ")
              + settings.name()
              + " under \""
              + wanted
              + "\"");
    }
    Measurement one = found.get(0);
    if (one.figure() instanceof Figure.Invalid invalid) {
      throw new IllegalArgumentException(one.title() + " is invalid: " + invalid.reason());
    }
    return one;
  }
}
