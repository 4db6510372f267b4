package kitproof.board;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;
import kitproof.event.Verdict;
import org.jspecify.annotations.Nullable;

/** Puts the first page together. */
final class Overviews {
  static final int PAGE_SIZE = 50;
  private static final int MOST_FAILURES = 12;
  private static final int MOST_BATCHES = 200;

  private final Runs runs;
  private final Collection<StationNow> stations;
  private final Instant now;

  Overviews(Runs runs, Collection<StationNow> stations, Instant now) {
    this.runs = runs;
    this.stations = stations;
    this.now = now;
  }

  Overview of(@Nullable BatchKey wanted, int page, long version, Overview.Link link, Count count) {
    List<Batch> byTime = new ArrayList<>(runs.batches());
    byTime.sort(Comparator.comparing(Batch::latest).reversed());
    Batch latest = byTime.isEmpty() ? null : byTime.get(0);
    Batch shown = wanted == null ? latest : runs.batch(wanted);
    return new Overview(
        version,
        now.toEpochMilli(),
        link,
        count,
        stations.stream().map(Overviews::station).toList(),
        byTime.stream().limit(MOST_BATCHES).map(b -> b.key).toList(),
        shown == null ? null : batch(shown, page));
  }

  private BatchView batch(Batch batch, int page) {
    Yield yield = batch.yield();
    List<Run> finished = batch.finished();
    int planned = 0;
    double pace = 1;
    for (StationNow station : stations) {
      Run latest = station.latest;
      if (latest != null && batch.key.equals(Runs.key(latest))) {
        planned = Math.max(planned, station.planned);
        pace = Math.max(pace, station.pace);
      }
    }
    Throughput throughput =
        Throughput.of(finished.stream().map(Batch::ended).toList(), planned, pace);
    Duration remaining = throughput.remaining();
    int last = Math.max(0, (finished.size() - 1) / PAGE_SIZE);
    int shown = Math.max(0, Math.min(page, last));
    return new BatchView(
        batch.key,
        planned,
        yield.tested(),
        yield.firstPassed(),
        yield.passed(),
        yield.firstPass(),
        yield.last(),
        throughput.perHour(),
        throughput.left(),
        remaining == null ? null : now.plus(remaining).toEpochMilli(),
        Pareto.of(batch).stream().limit(MOST_FAILURES).map(Overviews::failure).toList(),
        finished.size(),
        shown,
        PAGE_SIZE,
        finished.stream()
            .skip((long) shown * PAGE_SIZE)
            .limit(PAGE_SIZE)
            .map(run -> unit(batch, run))
            .toList());
  }

  private static BatchView.Failure failure(Pareto.Row row) {
    return new BatchView.Failure(row.name(), row.result(), row.units(), row.cumulative());
  }

  private static BatchView.Unit unit(Batch batch, Run run) {
    return new BatchView.Unit(
        run.place.unit(),
        run.place.run(),
        run.place.station(),
        String.valueOf(run.verdict),
        run.reason,
        List.copyOf(run.failedNames()),
        batch.runs(run.place.unit()).size(),
        Batch.ended(run).toEpochMilli());
  }

  private static StationView station(StationNow station) {
    Instant since = station.since;
    Run latest = station.latest;
    return new StationView(
        station.shop,
        station.station,
        station.state,
        since == null ? null : since.toEpochMilli(),
        station.heard.toEpochMilli(),
        station.pace,
        running(station),
        latest(latest),
        Stream.concat(
                Stream.of(station.warning()).filter(warning -> !warning.isEmpty()),
                latest == null ? Stream.of() : latest.notices.stream())
            .distinct()
            .limit(5)
            .toList());
  }

  private static StationView.@Nullable Running running(StationNow station) {
    Told.Running running = station.running;
    if (running == null) {
      return null;
    }
    double progress =
        running.expected() > 0
            ? Math.min(1, running.behind() / running.expected())
            : running.steps() > 0 ? Math.max(0, running.index()) / (double) running.steps() : 0;
    Told.Judged last = running.last();
    return new StationView.Running(
        running.place().product(),
        running.place().unit(),
        running.kind().batch(),
        running.place().run(),
        running.step(),
        running.index(),
        running.steps(),
        progress,
        running.expected() > 0
            ? Math.round(
                Math.max(0, running.expected() - running.behind()) / Math.max(1e-3, station.pace))
            : null,
        last == null
            ? null
            : new StationView.Judged(last.title(), last.outcome().toString(), last.detail()));
  }

  private static StationView.@Nullable Latest latest(@Nullable Run run) {
    if (run == null) {
      return null;
    }
    Verdict verdict = run.verdict;
    return verdict == null
        ? null
        : new StationView.Latest(
            run.place.product(),
            run.place.unit(),
            run.place.run(),
            verdict.toString(),
            Batch.ended(run).toEpochMilli());
  }
}
