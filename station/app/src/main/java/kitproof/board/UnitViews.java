package kitproof.board;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Puts a unit's page together. */
final class UnitViews {
  private UnitViews() {}

  /**
   * The page.
   *
   * @param runs the oldest first
   * @param wanted which one's results; null for the latest
   * @return empty if there is no such run
   */
  static Optional<UnitView> of(List<Run> runs, ResultKinds kinds, @Nullable String wanted) {
    List<Run> latestFirst = new ArrayList<>(runs);
    Collections.reverse(latestFirst);
    return latestFirst.stream()
        .filter(run -> wanted == null || run.place.run().equals(wanted))
        .findFirst()
        .map(run -> view(run, kinds, latestFirst));
  }

  private static UnitView view(Run run, ResultKinds kinds, List<Run> runs) {
    Told.Kind kind = run.kind == null ? new Told.Kind("", "", "") : run.kind;
    return new UnitView(
        run.place.shop(),
        run.place.product(),
        run.place.unit(),
        kind.batch(),
        kind.revision(),
        kind.plan(),
        runs.stream().limit(100).map(UnitViews::line).toList(),
        run.place.run(),
        run.place.station(),
        millis(run.started),
        millis(run.ended),
        millis(run.finished),
        verdict(run),
        run.reason,
        List.copyOf(run.failed),
        List.copyOf(run.notices),
        StationView.Opening.of(run.opening),
        run.uncalibrated,
        run.partial,
        run.missing,
        results(run, kinds));
  }

  /** Where the whole results had to be let go, what is left of them: no curves, no reasons. */
  private static List<ResultView> results(Run run, ResultKinds kinds) {
    List<ResultView> results = run.results().stream().map(ResultViews::of).toList();
    Brief brief = run.brief;
    return results.isEmpty() && brief != null ? ResultViews.of(brief, kinds) : results;
  }

  private static UnitView.RunLine line(Run run) {
    return new UnitView.RunLine(
        run.place.run(), run.place.station(), verdict(run), millis(run.started));
  }

  private static @Nullable String verdict(Run run) {
    return run.verdict == null ? null : run.verdict.toString();
  }

  private static @Nullable Long millis(@Nullable Instant time) {
    return time == null ? null : time.toEpochMilli();
  }
}
