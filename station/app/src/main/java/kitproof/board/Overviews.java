package kitproof.board;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import org.jspecify.annotations.Nullable;

/** Puts the first page together. */
final class Overviews {
  static final int PAGE_SIZE = 50;
  private static final int MOST_FAILURES = 12;
  private static final int MOST_NAMES = 50;
  private static final int MOST_NOTICES = 5;
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
    Batch shown = wanted == null ? current(byTime) : runs.batch(wanted);
    return new Overview(
        version,
        now.toEpochMilli(),
        link,
        count,
        stations.stream().map(Overviews::station).toList(),
        byTime.stream().limit(MOST_BATCHES).map(b -> b.key).toList(),
        shown == null ? null : batch(shown, page));
  }

  /** A run of no batch, such as a check of the station, does not displace one that is watched. */
  private static @Nullable Batch current(List<Batch> latestFirst) {
    return latestFirst.stream()
        .filter(batch -> !batch.key.batch().isEmpty())
        .findFirst()
        .orElse(latestFirst.isEmpty() ? null : latestFirst.get(0));
  }

  private BatchView batch(Batch batch, int page) {
    Yield yield = batch.yield();
    int finished = batch.finishedCount();
    Throughput throughput =
        Throughput.of(batch.ends().limit(Throughput.MOST).toList(), finished, batch.planned());
    Duration remaining = throughput.remaining();
    int last = Math.max(0, (finished - 1) / PAGE_SIZE);
    int shown = Math.max(0, Math.min(page, last));
    return new BatchView(
        batch.key,
        batch.planned(),
        yield.tested(),
        yield.firstPassed(),
        yield.passed(),
        yield.firstPass(),
        yield.last(),
        throughput.perHour(),
        throughput.left(),
        remaining == null ? null : now.plus(remaining).toEpochMilli(),
        late(throughput, batch.endHeard()),
        Pareto.of(batch.failures()).stream().limit(MOST_FAILURES).map(Overviews::failure).toList(),
        finished,
        shown,
        PAGE_SIZE,
        batch
            .finished()
            .skip((long) shown * PAGE_SIZE)
            .limit(PAGE_SIZE)
            .map(run -> unit(batch, run))
            .toList());
  }

  private @Nullable Long late(Throughput throughput, @Nullable Instant lastEnd) {
    Duration since = lastEnd == null ? Duration.ZERO : Duration.between(lastEnd, now);
    return throughput.late(since) ? (Long) since.toSeconds() : null;
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
        Fields.shorten(run.reason),
        run.failedNames().stream().limit(MOST_NAMES).map(Fields::shorten).toList(),
        batch.runCount(run.place.unit()),
        run.uncalibrated,
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
        station.simulated,
        station.pace,
        latest != null && latest.uncalibrated,
        running(station),
        latest(latest),
        opening(station),
        latest == null
            ? List.of()
            : latest.notices.stream().distinct().limit(MOST_NOTICES).map(Fields::shorten).toList());
  }

  /** A station that is away in the middle of a run says nothing of its unit: treat it as live. */
  private static StationView.@Nullable Opening opening(StationNow station) {
    Run latest = station.latest;
    if (station.running == null) {
      Told.Opening told = station.opening;
      return StationView.Opening.of(told != null || latest == null ? told : latest.opening);
    }
    if (station.state.equals("offline")) {
      return new StationView.Opening(
          SafeToOpen.UNKNOWN.toString(), "the station went away in the middle of a run");
    }
    return StationView.Opening.of(station.opening);
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
        Fields.shorten(running.step()),
        running.index(),
        running.steps(),
        progress,
        running.expected() > 0 && station.pace > 0
            ? Math.round(Math.max(0, running.expected() - running.behind()) / station.pace)
            : null,
        last == null
            ? null
            : new StationView.Judged(
                Fields.shorten(last.title()),
                last.outcome().toString(),
                Fields.shorten(last.detail())));
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
