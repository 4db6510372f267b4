package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.driver.BenchClock;
import kitproof.journal.RecordStore;
import kitproof.journal.Recovery;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.EmbeddedBroker;
import kitproof.mqtt.Outlook;
import kitproof.mqtt.Publisher;
import kitproof.mqtt.Station;
import kitproof.plan.Bench;
import kitproof.store.Index;
import kitproof.store.IndexException;
import kitproof.store.IndexKeeper;
import kitproof.store.IndexPlace;
import org.jspecify.annotations.Nullable;

/**
 * What stands around runs: the records folder, put in order first, and the publisher that reads it.
 *
 * <p>Nothing here can keep a run from going on: without a broker the messages wait in the journal.
 */
final class Session implements AutoCloseable {
  private static final int USUAL_PORT = 1883;
  private static final Duration DRAIN = Duration.ofSeconds(5);

  private final RecordStore store;
  private final @Nullable EmbeddedBroker embedded;
  private final @Nullable Publisher publisher;
  private final PrintWriter notes;
  private final IndexPlace place;
  private final IndexKeeper index;

  private Session(
      RecordStore store,
      @Nullable EmbeddedBroker embedded,
      @Nullable Publisher publisher,
      IndexPlace place,
      PrintWriter notes) {
    this.store = store;
    this.embedded = embedded;
    this.publisher = publisher;
    this.notes = notes;
    this.place = place;
    this.index =
        IndexKeeper.start(
            store.folder(),
            place,
            new IndexKeeper.Listener() {
              @Override
              public void behind(String trouble) {
                note("the index of records is not up to date: " + trouble);
              }

              @Override
              public void upToDate() {
                note("the index of records is up to date again");
              }
            });
  }

  private void note(String text) {
    tell(notes, text);
  }

  private static void tell(PrintWriter notes, String text) {
    notes.println("note: " + text);
    notes.flush();
  }

  /** With the index beside the records. */
  static Session open(
      Path records, @Nullable BrokerAddress broker, Bench bench, Outlook outlook, PrintWriter notes)
      throws IOException {
    return open(records, IndexPlace.beside(records), broker, bench, outlook, notes);
  }

  /**
   * Puts the records in order and starts publishing.
   *
   * @param index where their index is kept
   * @param broker where to, or null for the embedded broker
   * @param outlook for those who watch
   * @param notes where to tell what the operator should know
   * @throws IOException if the records folder cannot be used, or the credentials not be read
   */
  static Session open(
      Path records,
      IndexPlace index,
      @Nullable BrokerAddress broker,
      Bench bench,
      Outlook outlook,
      PrintWriter notes)
      throws IOException {
    RecordStore store = new RecordStore(records, told -> tell(notes, told));
    BenchClock real = new SystemBenchClock(1);
    for (Recovery.Recovered recovered : Recovery.run(store, real::now)) {
      notes.println("note: " + recovered);
    }
    Station station = new Station(bench.shop(), bench.station());
    Outlook told =
        outlook.checkedBy(bench.selfcheck().map(check -> check.checkStandard()).orElse(null));
    if (broker != null) {
      Credentials credentials = Credentials.from(System.getenv());
      return new Session(
          store,
          null,
          Publisher.start(store, broker.toString(), station, told, broker, credentials, real),
          index,
          notes);
    }
    EmbeddedBroker embedded;
    try {
      embedded = embedded(store.folder().resolve("broker"));
    } catch (IOException e) {
      notes.println("note: without MQTT, the broker in this program: " + e.getMessage());
      notes.flush();
      return new Session(store, null, null, index, notes);
    }
    notes.println("MQTT: " + embedded.address() + " (the broker in this program)");
    notes.flush();
    return new Session(
        store,
        embedded,
        Publisher.start(
            store, "embedded", station, told, embedded.address(), Credentials.NONE, real),
        index,
        notes);
  }

  /** On the usual port, or on a free one if that is taken. */
  private static EmbeddedBroker embedded(Path data) throws IOException {
    try {
      return EmbeddedBroker.start(data, USUAL_PORT);
    } catch (IOException e) {
      return EmbeddedBroker.start(data, 0);
    }
  }

  /** Where the broker in this program is, if there is one. */
  Optional<BrokerAddress> embedded() {
    return Optional.ofNullable(embedded).map(EmbeddedBroker::address);
  }

  RecordStore store() {
    return store;
  }

  /**
   * The batches of which there are records, as far as they are in the index.
   *
   * @throws IndexException if it cannot be asked
   */
  List<String> batches() throws IndexException {
    try (Index known = Index.open(store.folder(), place)) {
      return known.batches().stream().sorted().toList();
    }
  }

  /** A record was written. */
  void recorded() {
    index.tell();
  }

  /** Publishes what is left, within a bound, and says if something has to wait. */
  @Override
  public void close() {
    index.close();
    if (publisher != null && !publisher.close(DRAIN)) {
      notes.println(
          "note: not everything has reached the broker ("
              + publisher.trouble().orElse("it is slow")
              + "); the rest is published when the station starts again");
      notes.flush();
    }
    if (embedded != null) {
      embedded.close();
    }
  }
}
