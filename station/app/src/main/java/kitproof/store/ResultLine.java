package kitproof.store;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import kitproof.journal.RunRecord;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * One result as a row; curves are left in the documents.
 *
 * @param place in the record, from 0
 * @param conditions "mode=triode;tap=8 ohm", by name, so that equal ones are equal texts
 * @param value null of a curve, and of what is invalid
 * @param unit of value and limits; empty where there is none
 */
record ResultLine(
    int place,
    String step,
    String name,
    String conditions,
    @Nullable Double value,
    String unit,
    @Nullable Double low,
    @Nullable Double high,
    String outcome,
    String detail) {

  static List<ResultLine> of(RunRecord record) {
    List<ResultLine> lines = new ArrayList<>();
    for (RunRecord.Step step : record.steps()) {
      for (RunRecord.Result result : step.results()) {
        lines.add(of(lines.size(), step, result));
      }
    }
    return lines;
  }

  private static ResultLine of(int place, RunRecord.Step step, RunRecord.Result result) {
    Measurement measurement = result.measurement();
    Quantity quantity =
        measurement.figure() instanceof Figure.OfQuantity one ? one.quantity() : null;
    Limit.Scalar limit = result.judgement().limit() instanceof Limit.Scalar scalar ? scalar : null;
    String detail =
        measurement.figure() instanceof Figure.Invalid invalid
            ? invalid.reason()
            : result.judgement().detail();
    return new ResultLine(
        place,
        step.step(),
        measurement.name(),
        words(measurement.conditions().values()),
        quantity == null ? null : quantity.value(),
        quantity == null ? "" : quantity.unit().symbol(),
        limit == null ? null : number(limit.low()),
        limit == null ? null : number(limit.high()),
        result.judgement().outcome().toString(),
        detail);
  }

  private static @Nullable Double number(@Nullable Quantity quantity) {
    return quantity == null ? null : quantity.value();
  }

  /** The other way round than the words of a row; a value may hold "=" but no ";". */
  static Conditions conditions(String words) {
    Map<String, String> values = new TreeMap<>();
    for (String part : words.isEmpty() ? List.<String>of() : List.of(words.split(";", -1))) {
      int at = part.indexOf('=');
      if (at >= 0) {
        values.put(part.substring(0, at), part.substring(at + 1));
      }
    }
    return new Conditions(values);
  }

  private static String words(Map<String, String> conditions) {
    String[] names = conditions.keySet().toArray(String[]::new);
    Arrays.sort(names);
    StringBuilder words = new StringBuilder();
    for (String name : names) { // for each of a million rows: no more than needed is done here
      words
          .append(words.isEmpty() ? "" : ";")
          .append(name)
          .append('=')
          .append(conditions.get(name));
    }
    return words.toString();
  }
}
