package kitproof.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.journal.RunRecord;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import org.jspecify.annotations.Nullable;

/**
 * One line of the table of all results: a result by its limit, its channels side by side.
 *
 * @param name the result's
 * @param conditions but for the channel
 * @param limit null if there was none
 * @param byChannel channel to result; "" where the result names no channel
 */
record ResultRow(
    String name,
    Conditions conditions,
    @Nullable Limit limit,
    Map<String, RunRecord.Result> byChannel) {
  static final String CHANNEL = "channel";

  /** The results of steps of one name, in their order. */
  static List<ResultRow> of(List<RunRecord.Step> steps) {
    List<ResultRow> rows = new ArrayList<>();
    for (RunRecord.Step step : steps) {
      for (RunRecord.Result result : step.results()) {
        add(rows, result);
      }
    }
    return rows;
  }

  private static void add(List<ResultRow> rows, RunRecord.Result result) {
    Map<String, String> values = new LinkedHashMap<>(result.measurement().conditions().values());
    String channel = values.remove(CHANNEL);
    ResultRow row =
        new ResultRow(
            result.measurement().name(),
            new Conditions(values),
            result.judgement().limit(),
            new LinkedHashMap<>());
    String column = channel == null ? "" : channel;
    for (ResultRow earlier : rows) {
      if (channel != null && earlier.sister(row) && !earlier.byChannel.containsKey(column)) {
        earlier.byChannel.put(column, result);
        return;
      }
    }
    row.byChannel.put(column, result);
    rows.add(row);
  }

  private boolean sister(ResultRow other) {
    return name.equals(other.name)
        && conditions.equals(other.conditions)
        && (limit == null ? other.limit == null : limit.equals(other.limit))
        && !byChannel.containsKey("");
  }
}
