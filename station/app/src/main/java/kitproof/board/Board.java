package kitproof.board;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * The fold of what stations tell: give it each message as it comes and ask it what to show. It may
 * be used from any thread.
 *
 * <p>Messages may come again, out of order, cut short or from somebody with bad intentions. It
 * keeps what is well, counts the rest, and stays within its bounds.
 */
public final class Board {
  /** How far a bench's time may be ahead: a simulated one runs faster than the calendar. */
  private static final Duration AHEAD = Duration.ofDays(366);

  private final Bounds bounds;
  private final InstantSource clock;
  private final Runs runs;
  private final Map<String, StationNow> stations = new TreeMap<>();
  private Count count = Count.NONE;
  private @Nullable String trouble = "not connected yet";
  private Instant linkSince;
  private long version;

  /**
   * An empty board.
   *
   * @param clock calendar time
   */
  public Board(InstantSource clock) {
    this(clock, Bounds.USUAL);
  }

  Board(InstantSource clock, Bounds bounds) {
    this.clock = clock;
    this.bounds = bounds;
    runs = new Runs(bounds);
    linkSince = clock.instant();
  }

  /** Takes in a message, whatever it is. */
  public void message(String topic, byte[] payload) {
    message(topic, payload, null);
  }

  /**
   * Takes in a message.
   *
   * @param age how long the broker has kept it; null if it does not say
   */
  public void message(String topic, byte[] payload, @Nullable Duration age) {
    Told told = null;
    boolean malformed = false;
    if (payload.length <= bounds.message()) {
      try {
        told = Wire.read(topic, payload); // nobody who looks has to wait for the reading
      } catch (MalformedException e) {
        malformed = true;
      }
    }
    take(told, malformed, payload, age);
  }

  private synchronized void take(
      @Nullable Told told, boolean malformed, byte[] payload, @Nullable Duration age) {
    count = count.message();
    version++;
    try {
      if (payload.length > bounds.message()) {
        count = count.oversizedOne();
      } else if (told == null) {
        count = malformed ? count.malformedOne() : count;
      } else {
        fold(told, payload.length, age);
      }
    } catch (MalformedException | RuntimeException e) { // nothing that is told ends the board
      count = count.malformedOne();
    }
    notifyAll();
  }

  /**
   * Notes whether messages can come.
   *
   * @param now why they cannot, or null if they can
   */
  public synchronized void link(@Nullable String now) {
    if ((now == null) != (trouble == null)) {
      linkSince = clock.instant();
    }
    trouble = now;
    version++;
    notifyAll();
  }

  /** Whether messages can come. */
  public synchronized Overview.Link link() {
    return new Overview.Link(trouble == null, linkSince.toEpochMilli(), trouble);
  }

  /** Now, as the board sees it. */
  public Instant now() {
    return clock.instant();
  }

  /** Rises with every change. */
  public synchronized long version() {
    return version;
  }

  /**
   * Waits until something has changed since a version, or a while has passed.
   *
   * @return the version now
   */
  public synchronized long await(long seen, Duration most) throws InterruptedException {
    if (version <= seen) {
      wait(Math.max(1, most.toMillis()));
    }
    return version;
  }

  private void fold(Told told, int size, @Nullable Duration age) throws MalformedException {
    Wire.notBeyond(told, clock.instant().plus(AHEAD));
    if (told instanceof Told.OfStatus status) {
      fold(status, age);
    } else if (told instanceof Told.OfEntry entry) {
      fold(entry, size);
    } else if (told instanceof Told.OfRecord record) {
      Run run = run(record.place());
      change(run, () -> run.become(record, runs.kinds));
      StationNow station = station(record.place().shop(), record.place().station());
      if (station == null) {
        count = count.refusedOne();
      } else {
        station.newest(run);
      }
    }
  }

  private void fold(Told.OfStatus status, @Nullable Duration age) throws MalformedException {
    StationNow station = station(status.shop(), status.station());
    if (station == null) {
      count = count.refusedOne();
      return;
    }
    Told.Running running = status.running();
    if (running != null) {
      Run run = run(running.place());
      change(
          run,
          () -> {
            if (run.kind == null) {
              run.kind = running.kind();
              run.started = running.started();
              run.partial = true; // until its start is told
            }
            run.planned = status.planned();
            run.uncalibrated |= status.uncalibrated();
          });
      station.newest(run);
    }
    station.become(status, clock.instant(), age);
  }

  private void fold(Told.OfEntry entry, int size) throws MalformedException {
    Run run = run(entry.place());
    boolean[] news = new boolean[1];
    change(run, () -> news[0] = run.add(entry, size, runs.kinds));
    if (!news[0]) {
      count = count.repeat();
      return;
    }
    StationNow station = station(entry.place().shop(), entry.place().station());
    if (station == null) {
      count = count.refusedOne();
      return;
    }
    station.newest(run);
    station.heard = clock.instant();
  }

  /** The run of this name and unit, begun if need be; it must be on the same station. */
  private Run run(Told.Place place) throws MalformedException {
    Run run = runs.find(place);
    if (run == null) {
      run = runs.begin(place, clock.instant());
    } else if (!run.place.equals(place)) {
      throw new MalformedException("the name of another run");
    }
    return run;
  }

  private void change(Run run, Runnable change) {
    Runs.Before before = Runs.Before.of(run);
    change.run();
    run.version = version;
    if (run.ended != null && run.endHeard == null) {
      run.endHeard = clock.instant();
    }
    int gone = runs.changed(run, before);
    for (int i = 0; i < gone; i++) {
      count = count.forgot();
    }
    if (gone > 0) {
      stations.values().forEach(StationNow::letGo);
    }
  }

  private @Nullable StationNow station(String shop, String station) {
    String key = shop + '\n' + station;
    StationNow known = stations.get(key);
    if (known == null && stations.size() < bounds.stations()) {
      known = new StationNow(shop, station, clock.instant());
      stations.put(key, known);
    }
    return known;
  }

  /**
   * The first page: stations, batches, and one batch.
   *
   * @param batch which one; null for the one that is going on
   * @param page of its finished units, from 0
   */
  public synchronized Overview overview(@Nullable BatchKey batch, int page) {
    return new Overviews(runs, stations.values(), clock.instant())
        .of(batch, page, version, link(), count);
  }

  /**
   * A unit with all its runs.
   *
   * @param run which run's results; null for the latest
   */
  public synchronized Optional<UnitView> unit(
      String shop, String product, String unit, @Nullable String run) {
    return UnitViews.of(runs.ofUnit(shop, product, unit), runs.kinds, run);
  }

  /** The board's version when a unit changed last; 0 if there is no such unit. */
  public synchronized long version(String shop, String product, String unit) {
    return runs.ofUnit(shop, product, unit).stream().mapToLong(run -> run.version).max().orElse(0);
  }

  /**
   * The board's version when something changed last that a page across this batch shows; 0 if there
   * is no such batch.
   */
  public synchronized long version(BatchKey key) {
    Batch batch = runs.batch(key);
    return batch == null ? 0 : Math.max(batch.version, runs.besideVersion);
  }

  /**
   * One result across a batch.
   *
   * @return empty if no unit of the batch has such a result
   */
  public Optional<AcrossView> across(BatchKey batch, Across asked) {
    return gather(batch, asked).map(AcrossViews.Gathered::reckoned);
  }

  private synchronized Optional<AcrossViews.Gathered> gather(BatchKey batch, Across asked) {
    return Optional.ofNullable(runs.batch(batch))
        .flatMap(found -> AcrossViews.of(found, runs, asked));
  }
}
