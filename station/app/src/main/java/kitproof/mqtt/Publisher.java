package kitproof.mqtt;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.driver.BenchClock;
import kitproof.event.Event;
import kitproof.journal.ProcessLock;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import org.jspecify.annotations.Nullable;

/**
 * Tells a broker everything that is in the journals: each message at least once, each run in order,
 * none lost; repeats have the same id.
 *
 * <p>It reads the journals behind the run's back, so the run never waits for it. How far it has
 * come is kept beside the journals under the reader's name, one per broker; a new name begins with
 * the oldest run kept. It works in one thread of its own until it is closed. While another process
 * publishes under the same name from the same folder it waits, and what its own process wrote is
 * told by the other one.
 */
public final class Publisher implements AutoCloseable {
  /** Other processes' journals and lost wake-ups are looked for this often. */
  private static final Duration LOOK = Duration.ofMillis(250);

  /** So many runs in a row may have left the mains off before what was told earlier is lost. */
  private static final int LOOK_BACK = 200;

  private final RecordStore store;
  private final String reader;
  private final Station station;
  private final Outlook outlook;
  private final Pace pace;
  private final Link.Maker maker;
  private final Backoff backoff;
  private final BenchClock clock;
  private final Thread thread;
  private Status status = Status.IDLE;
  private int failures;
  private int told;
  private @Nullable String cursorTrouble;
  private volatile @Nullable String trouble = "not connected yet";
  private volatile boolean drained;
  private volatile @Nullable Long closeBy;

  /**
   * Starts publishing.
   *
   * @param reader the name under which the place in the journals is kept, for example the broker's
   *     address, or "embedded"
   * @param outlook told with the status
   * @param clock real time
   */
  public static Publisher start(
      RecordStore store,
      String reader,
      Station station,
      Outlook outlook,
      BrokerAddress broker,
      Credentials credentials,
      BenchClock clock) {
    return new Publisher(
        store,
        reader,
        station,
        outlook,
        new PahoLink.Maker(broker, credentials, station),
        Backoff.USUAL,
        clock);
  }

  /** As above, with nothing to tell about what is to come. */
  public static Publisher start(
      RecordStore store,
      String reader,
      Station station,
      BrokerAddress broker,
      Credentials credentials,
      BenchClock clock) {
    return start(store, reader, station, Outlook.UNKNOWN, broker, credentials, clock);
  }

  Publisher(
      RecordStore store,
      String reader,
      Station station,
      Outlook outlook,
      Link.Maker maker,
      Backoff backoff,
      BenchClock clock) {
    this.store = store;
    this.reader = reader;
    this.station = station;
    this.outlook = outlook;
    this.pace = new Pace(outlook.pace(), clock::nanos);
    this.maker = maker;
    this.backoff = backoff;
    this.clock = clock;
    thread = new Thread(this::work, "mqtt-publisher");
    thread.setDaemon(true);
    thread.start();
  }

  /** Why nothing reaches the broker at the moment, for the operator; empty if all is well. */
  public Optional<String> trouble() {
    return Optional.ofNullable(trouble);
  }

  /** Closes without waiting for more than is under way. */
  @Override
  public void close() {
    close(Duration.ofSeconds(2));
  }

  /**
   * Publishes what is there, says offline, and ends.
   *
   * @param bound of real time; a broker that is away gets one more attempt
   * @return whether everything in the journals was acknowledged; if not, the next start goes on
   *     from there
   */
  public boolean close(Duration bound) {
    closeBy = clock.nanos() + bound.toNanos();
    store.wake();
    try {
      // a little longer, for taking leave; the thread is a daemon and keeps nobody from ending
      thread.join(bound.toMillis() + 500);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    return drained;
  }

  private boolean closing() {
    return closeBy != null;
  }

  private boolean outOfTime() {
    Long by = closeBy;
    return by != null && clock.nanos() - by >= 0;
  }

  private void work() {
    try {
      boolean last = false;
      while (!last) {
        last = closing();
        try {
          Optional<ProcessLock> lock = store.lockReader(reader);
          if (lock.isPresent()) {
            try (ProcessLock held = lock.get()) {
              status = lastKnown();
              connectAndServe();
              return;
            }
          }
          trouble = "another program is publishing from " + store.folder();
        } catch (IOException e) {
          trouble = e.getMessage();
        }
        failures++;
        pause(backoff.after(failures));
      }
    } catch (InterruptedException e) {
      trouble = "interrupted";
    }
  }

  /** What the runs before left, so that a start does not take back what was told of the unit. */
  private Status lastKnown() {
    ArrayDeque<RunRecord> runs = new ArrayDeque<>();
    try {
      List<Path> journals = store.journalFiles();
      int oldest = Math.max(0, journals.size() - LOOK_BACK);
      boolean told = false;
      for (int i = journals.size() - 1; i >= oldest && !told; i--) {
        told = look(journals.get(i), runs);
      }
    } catch (IOException e) { // told of by the backlog
      return Status.IDLE;
    }
    return Status.after(List.copyOf(runs));
  }

  /** Adds a run before those that came after it; returns whether it told of opening the unit. */
  private boolean look(Path journal, ArrayDeque<RunRecord> runs) {
    try {
      RunRecord run = store.fold(journal);
      runs.addFirst(run);
      return run.events().stream().anyMatch(e -> e.event() instanceof Event.OpeningTold);
    } catch (IOException | RuntimeException e) { // such a journal is told of by the backlog
      return false;
    }
  }

  /** Returns when it is closed; the lock on the reader's name is held over all links. */
  private void connectAndServe() throws InterruptedException {
    boolean last = false;
    while (!last) {
      last = closing();
      try (Link link = maker.connect(Status.lastWill(station, statusId("will")), store::wake)) {
        trouble = null;
        serve(link);
        return;
      } catch (IOException e) {
        trouble = e.getMessage();
      } catch (RuntimeException e) { // a library's surprise must not end the publishing for good
        trouble = "publishing failed: " + e;
      }
      failures++;
      pause(backoff.after(failures));
    }
  }

  private void pause(Duration pause) throws InterruptedException {
    long until = clock.nanos() + pause.toNanos();
    for (long left = pause.toNanos(); left > 0 && !closing(); left = until - clock.nanos()) {
      long seen = store.newsSeen();
      if (!closing()) {
        store.awaitNews(seen, Duration.ofNanos(left));
      }
    }
  }

  private void serve(Link link) throws IOException, InterruptedException {
    Outbox outbox = new Outbox(link);
    outbox.add(status.message(station, outlook(), statusId(String.valueOf(told++))), null);
    try (Backlog backlog = new Backlog(store, reader)) {
      boolean leaving = false;
      while (!outOfTime()) {
        long seen = store.newsSeen();
        boolean last = closing();
        link.check();
        settle(outbox, backlog);
        outbox.send();
        boolean filled = !leaving && fill(outbox, backlog);
        trouble = backlog.trouble().orElse(cursorTrouble);
        if (!leaving && last && !filled && outbox.isEmpty()) {
          drained = true;
          leaving = true;
          outbox.add(status.offline(station, statusId("end"), clock.now()), null);
          outbox.send();
        } else if (leaving && outbox.isEmpty()) {
          link.leave();
          return;
        }
        if (!filled) {
          store.awaitNews(seen, LOOK);
        }
      }
    }
  }

  private void settle(Outbox outbox, Backlog backlog) {
    for (Backlog.Item item : outbox.settle().values()) {
      failures = 0;
      try {
        backlog.dealtWith(item);
        cursorTrouble = null;
      } catch (IOException e) {
        // told twice is better than a stop: the next start repeats from the older place
        cursorTrouble = e.getMessage();
      }
    }
  }

  private boolean fill(Outbox outbox, Backlog backlog) throws IOException {
    boolean filled = false;
    while (outbox.wantsMore()) {
      Optional<Backlog.Item> next = backlog.next();
      if (next.isEmpty()) {
        break;
      }
      for (Outgoing outgoing : outgoing(next.get())) {
        outbox.add(outgoing.message, outgoing.completes);
      }
      outbox.send();
      filled = true;
    }
    return filled;
  }

  private record Outgoing(Message message, Backlog.@Nullable Item completes) {}

  private List<Outgoing> outgoing(Backlog.Item item) throws IOException {
    List<Message> messages = new ArrayList<>(Messages.of(item.entry(), item.start()));
    if (item.entry().event() instanceof Event.RunEnded) {
      RunRecord run = store.fold(item.journal());
      // an earlier run's batch was another
      int planned = item.live() ? outlook.planned(item.start().batch()) : 0;
      boolean check = run.unit().equals(outlook.checkStandard());
      RecordMessage.Beside beside = new RecordMessage.Beside(planned, finished(item), check);
      messages.add(1, RecordMessage.verdict(run, item.entry().id(), beside));
      messages.add(2, RecordMessage.of(run, item.entry().id(), beside));
    }
    List<Outgoing> outgoing = new ArrayList<>();
    if (item.live()) {
      if (item.entry().event() instanceof Event.RunStarted) {
        pace.begun();
      }
      Optional<Status> changed = status.after(item.entry());
      if (changed.isPresent()) {
        status = changed.get();
        outgoing.add(
            new Outgoing(status.message(station, outlook(), item.entry().id() + "/status"), null));
      }
    }
    for (int i = 0; i < messages.size(); i++) {
      outgoing.add(new Outgoing(messages.get(i), i == messages.size() - 1 ? item : null));
    }
    return outgoing;
  }

  private Outlook outlook() {
    return outlook.paced(pace.after(status.benchSeconds()));
  }

  /**
   * When a run ended by the calendar, which the times of a simulated bench do not say: its end was
   * the last that was written to its journal. Null of a real bench.
   */
  private @Nullable Instant finished(Backlog.Item item) throws IOException {
    return outlook.simulated() ? Files.getLastModifiedTime(item.journal()).toInstant() : null;
  }

  private String statusId(String which) {
    return station.shop() + "/" + station.name() + "/" + clock.now() + "/" + which;
  }
}
