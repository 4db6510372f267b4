package kitproof.gauge;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import kitproof.journal.RunRecord;
import kitproof.limit.Judge;
import kitproof.limit.Limit;
import kitproof.limit.LimitEntry;
import kitproof.limit.LimitFile;
import kitproof.limit.MaskPlace;
import kitproof.limit.statistics.GaugeData;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * One result over the trials of a study: a single quantity, or a curve at a stated place.
 *
 * @param name of the result
 * @param conditions it holds under
 * @param at the place on the curve, or null of a single quantity
 * @param unit of the values
 * @param limit what it is judged by there, or null
 * @param readings in the order of the trials
 * @param invalid how many trials gave no figure of it
 */
public record GaugeSeries(
    String name,
    Conditions conditions,
    @Nullable Quantity at,
    Unit unit,
    Limit.@Nullable Scalar limit,
    List<GaugeData.Reading> readings,
    int invalid) {
  public GaugeSeries {
    readings = List.copyOf(readings);
  }

  private record Key(String name, Conditions conditions, @Nullable Quantity at, Unit unit) {}

  private static final class Growing {
    private Limit.@Nullable Scalar limit;
    private final List<GaugeData.Reading> readings = new ArrayList<>();
  }

  /**
   * What is asked of the records.
   *
   * @param limits to judge by instead of those in the records, or null
   * @param places where curves are looked at
   * @param wanted which results
   */
  public record Question(
      @Nullable LimitFile limits, List<Quantity> places, Predicate<Measurement> wanted) {
    public Question {
      places = List.copyOf(places);
    }

    private Optional<Limit> limit(RunRecord.Result result) {
      return limits == null
          ? Optional.ofNullable(result.judgement().limit())
          : new Judge(limits)
              .entryFor(result.measurement().name(), result.measurement().conditions())
              .map(LimitEntry::limit);
    }
  }

  /** Every result that is asked for, in the order of the plan. */
  public static List<GaugeSeries> of(List<Trialled> trials, Question question) {
    Map<Key, Growing> found = new LinkedHashMap<>();
    Map<String, Integer> invalid = new LinkedHashMap<>();
    for (Trialled trial : trials) {
      Map<Key, GaugeData.Reading> own = new LinkedHashMap<>(); // the last of a run counts
      for (RunRecord.Step step : trial.run().steps()) {
        for (RunRecord.Result result : step.results()) {
          Measurement measured = result.measurement();
          if (!question.wanted().test(measured)) {
            continue;
          }
          if (measured.figure() instanceof Figure.Invalid) {
            invalid.merge(measured.title(), 1, Integer::sum);
          }
          for (Map.Entry<Key, Double> value : values(measured, question).entrySet()) {
            Key key = value.getKey();
            own.put(
                key,
                new GaugeData.Reading(trial.appraiser(), trial.run().unit(), value.getValue()));
            Limit.Scalar limit = question.limit(result).map(l -> there(l, key.at)).orElse(null);
            Growing growing = found.computeIfAbsent(key, k -> new Growing());
            growing.limit = limit == null ? growing.limit : limit;
          }
        }
      }
      own.forEach(
          (key, reading) -> found.computeIfAbsent(key, k -> new Growing()).readings.add(reading));
    }
    List<GaugeSeries> series = new ArrayList<>();
    found.forEach(
        (key, grown) -> {
          String title = new Measurement(key.name, key.conditions, new Figure.Invalid("")).title();
          series.add(
              new GaugeSeries(
                  key.name,
                  key.conditions,
                  key.at,
                  key.unit,
                  grown.limit,
                  grown.readings,
                  invalid.getOrDefault(title, 0)));
        });
    return series;
  }

  private static Limit.@Nullable Scalar there(Limit limit, @Nullable Quantity at) {
    if (limit instanceof Limit.Scalar scalar) {
      return at == null ? scalar : null;
    }
    return at == null ? null : MaskPlace.of((Limit.Mask) limit, at).orElse(null);
  }

  private static Map<Key, Double> values(Measurement measured, Question question) {
    Map<Key, Double> values = new LinkedHashMap<>();
    if (measured.figure() instanceof Figure.OfQuantity one) {
      Quantity value = one.quantity();
      values.put(
          new Key(measured.name(), measured.conditions(), null, value.unit()), value.value());
    } else if (measured.figure() instanceof Figure.OfCurve of) {
      Curve curve = of.curve();
      for (Quantity place : question.places()) {
        if (reaches(curve, place)) {
          Key key = new Key(measured.name(), measured.conditions(), place, curve.yUnit());
          values.put(key, value(curve, place.value()));
        }
      }
    }
    return values;
  }

  private static boolean reaches(Curve curve, Quantity place) {
    return curve.xUnit() == place.unit()
        && curve.size() > 0
        && curve.x(0) <= place.value()
        && place.value() <= curve.x(curve.size() - 1);
  }

  /** On a straight line between two points, along a logarithmic axis of frequency. */
  private static double value(Curve curve, double place) {
    int next = 0;
    while (curve.x(next) < place) {
      next++;
    }
    if (next == 0 || curve.x(next) == place) {
      return curve.y(next);
    }
    double from = curve.x(next - 1);
    double to = curve.x(next);
    double part =
        curve.xUnit() == Unit.HERTZ && from > 0
            ? Math.log(place / from) / Math.log(to / from)
            : (place - from) / (to - from);
    return curve.y(next - 1) + part * (curve.y(next) - curve.y(next - 1));
  }

  /** "gain (channel left, tap 8 ohm)", "response at 20 kHz (channel left)". */
  public String title() {
    String where = at == null ? name : name + " at " + at.display();
    return conditions.isEmpty() ? where : where + " (" + conditions + ")";
  }

  /** The lowest good value in the unit of the series, or null. */
  public @Nullable Double low() {
    Quantity low = limit == null ? null : limit.low();
    return low == null || low.unit() != unit ? null : low.value();
  }

  /** The highest good value in the unit of the series, or null. */
  public @Nullable Double high() {
    Quantity high = limit == null ? null : limit.high();
    return high == null || high.unit() != unit ? null : high.value();
  }

  /** A spread as people read it: three significant digits, however small it is. */
  public String show(double value) {
    return show(value, 3);
  }

  /** The same with so many significant digits. */
  public String show(double value, int digits) {
    if (value == 0 || unit.takesPrefix()) {
      return Quantity.of(value, unit).display(digits);
    }
    String number =
        BigDecimal.valueOf(value)
            .round(new MathContext(digits))
            .stripTrailingZeros()
            .toPlainString();
    return unit == Unit.ONE ? number : number + " " + unit.symbol();
  }
}
