package kitproof.benchmark;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Stream;
import kitproof.console.RunConsole;
import kitproof.console.Words;
import kitproof.driver.kit.RealClock;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.limit.Judgement;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.EmbeddedBroker;
import kitproof.mqtt.Publisher;
import kitproof.mqtt.Station;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Events per second, appended and forced to disk, then until every listener has had them: the
 * console, the publisher with its broker's acknowledgement, the record document.
 *
 * <p>The ratio tells how far the slowest listener lags behind the journal, which waits for none.
 */
public final class EventBenchmark {
  private static final int RESULTS = 5_000;

  private EventBenchmark() {}

  public static void main(String[] arguments) throws IOException {
    Path folder = Files.createTempDirectory("kitproof-benchmark");
    try (EmbeddedBroker broker = EmbeddedBroker.start(null, 0)) {
      RecordStore store = new RecordStore(folder);
      Publisher publisher =
          Publisher.start(
              store,
              "benchmark",
              new Station("shop", "bench"),
              broker.address(),
              Credentials.NONE,
              new RealClock());
      run(store, publisher, 200); // warm
      long start = System.nanoTime();
      double appended = run(store, publisher, RESULTS);
      boolean drained = publisher.close(Duration.ofMinutes(2));
      double all = (System.nanoTime() - start) / 1e9;
      if (!drained) {
        throw new IOException("not everything was acknowledged in time");
      }
      System.out.printf(
          Locale.ROOT,
          "events: %.0f/s appended and forced, %.0f/s through console, record and broker;"
              + " ratio all/append %.2f%n",
          RESULTS / appended,
          RESULTS / all,
          all / appended);
    } finally {
      try (Stream<Path> files = Files.walk(folder)) {
        for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
          Files.deleteIfExists(file);
        }
      }
    }
  }

  /** One run of that many results; returns the seconds its appending took. */
  private static double run(RecordStore store, Publisher publisher, int results)
      throws IOException {
    String name = "run-" + results;
    PrintStream nowhere =
        new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
    try (Journal journal = store.begin(name, Instant::now);
        RunConsole console =
            new RunConsole(
                store.follow(journal.file()),
                nowhere,
                new Words(false),
                false,
                Instant::now,
                null,
                () -> {})) {
      journal.append(
          new Event.RunStarted(
              name,
              "shop",
              "bench",
              "LN12-001",
              "",
              "Linnet 12",
              "B",
              "benchmark",
              Map.of(),
              List.of(new Event.PlannedStep("many", Conditions.NONE, Duration.ZERO))));
      journal.append(new Event.StepStarted(0, "many", "reading", Conditions.NONE));
      long start = System.nanoTime();
      for (int i = 0; i < results; i++) {
        journal.append(
            new Event.ResultJudged(
                0,
                Measurement.of(
                    "hv", Conditions.of("point", "hv " + i), Quantity.of(330, Unit.VOLT)),
                new Judgement(Judgement.Outcome.NOT_JUDGED, null, "there is no limit")));
      }
      double seconds = (System.nanoTime() - start) / 1e9;
      journal.append(new Event.RunEnded(Verdict.FAIL, "a benchmark is no test", List.of()));
      var unused = RecordDocument.write(store, journal.file());
      if (publisher.trouble().isPresent() && results > 200) {
        throw new IOException(publisher.trouble().get());
      }
      return seconds;
    }
  }

  /** The machine's own time. */
}
