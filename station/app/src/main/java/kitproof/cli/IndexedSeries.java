package kitproof.cli;

import java.util.ArrayList;
import java.util.List;
import kitproof.batch.Series;
import kitproof.journal.RunRecord;
import kitproof.limit.Limit;
import kitproof.store.IndexedBatch;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** What an index has of a batch, as the statistics take it. */
final class IndexedSeries {
  private IndexedSeries() {}

  /** Every result over the units, each by its last attempt. */
  static List<Series> of(IndexedBatch batch) {
    List<Series> series = new ArrayList<>();
    for (IndexedBatch.Column column : batch.columns()) {
      List<Series.Point> points = new ArrayList<>();
      for (int i = 0; i < column.rows().size(); i++) {
        RunRecord run = batch.runs().get(column.rows().get(i));
        points.add(
            new Series.Point(run.unit(), run.station(), run.started(), column.values().get(i)));
      }
      series.add(
          new Series(
              column.name(),
              column.conditions(),
              column.unit(),
              limit(column),
              column.limitChanged(),
              points));
    }
    return Series.apart(series, batch.columns().stream().map(IndexedBatch.Column::chosen).toList());
  }

  private static Limit.@Nullable Scalar limit(IndexedBatch.Column column) {
    return column.low() == null && column.high() == null
        ? null
        : new Limit.Scalar(
            quantity(column.low(), column.unit()), quantity(column.high(), column.unit()));
  }

  private static @Nullable Quantity quantity(@Nullable Double value, Unit unit) {
    return value == null ? null : Quantity.of(value, unit);
  }
}
