package kitproof.benchmark;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import kitproof.batch.Batch;
import kitproof.batch.RecordFolder;
import kitproof.batch.Series;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.EventCodec;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.peer.PostgreSql;
import kitproof.store.Index;
import kitproof.store.IndexLogin;
import kitproof.store.IndexPlace;
import kitproof.store.IndexedBatch;
import kitproof.store.Indexing;
import kitproof.store.PostgresPlace;
import kitproof.store.RawRows;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * The index at scale, in SQLite and in a PostgreSQL of its own: writing against raw JDBC batches on
 * the same tables, the questions of a batch against the same SQL by hand, and the rebuild from
 * documents against only reading them.
 *
 * <p>Arguments: units; results of each.
 */
public final class StoreBenchmark {
  private static final String BATCH = "large";
  private static final List<String> TAPS = List.of("4 ohm", "8 ohm", "16 ohm");
  private static final int ROUNDS = 5;

  private final int units;
  private final int results;

  private StoreBenchmark(int units, int results) {
    this.units = units;
    this.results = results;
  }

  public static void main(String[] arguments) throws Exception {
    StoreBenchmark benchmark =
        new StoreBenchmark(Integer.parseInt(arguments[0]), Integer.parseInt(arguments[1]));
    Path folder = Files.createTempDirectory("kitproof-benchmark");
    try (PostgreSql server = PostgreSql.open().start()) {
      IndexLogin login = new IndexLogin(System.getProperty("user.name"), null);
      for (String name : List.of("warm", "indexed", "raw", "rebuilt")) {
        server.createDatabase(name);
      }
      Places postgres =
          new Places(
              PostgresPlace.parse(server.address("warm"), login),
              PostgresPlace.parse(server.address("indexed"), login),
              PostgresPlace.parse(server.address("raw"), login));
      Places sqlite =
          new Places(
              IndexPlace.beside(made(folder.resolve("warm"))),
              IndexPlace.beside(made(folder.resolve("indexed"))),
              IndexPlace.beside(made(folder.resolve("raw"))));
      benchmark.rows("SQLite", folder, sqlite);
      benchmark.rows("PostgreSQL", folder, postgres);
      Path records = made(folder.resolve("documents"));
      benchmark.documents(records, benchmark.units);
      benchmark.rebuild("SQLite", records, IndexPlace.beside(records));
      benchmark.rebuild(
          "PostgreSQL", records, PostgresPlace.parse(server.address("rebuilt"), login));
      benchmark.folder(made(folder.resolve("one batch")));
    } finally {
      try (Stream<Path> files = Files.walk(folder)) {
        for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
          Files.deleteIfExists(file);
        }
      }
    }
  }

  private static Path made(Path folder) throws IOException {
    return Files.createDirectories(folder);
  }

  /**
   * Where rows are written.
   *
   * @param warm before anything is timed
   * @param indexed by the index
   * @param raw by hand
   */
  private record Places(IndexPlace warm, IndexPlace indexed, IndexPlace raw) {}

  private void rows(String kind, Path folder, Places places) throws Exception {
    int few = Math.max(1, units / 20);
    RawRows.throughIndex(folder.resolve("warm"), places.warm(), few, this::record);
    forgetPeaks();
    double indexed =
        RawRows.throughIndex(folder.resolve("indexed"), places.indexed(), units, this::record);
    long peak = peakMegabytes();
    double raw = RawRows.byHand(folder.resolve("raw"), places.raw(), units, this::record);
    int rows = units * results;
    System.out.printf(
        Locale.ROOT,
        "%s: %d results in %d units: written at %.0f/s, raw JDBC batches %.0f/s, ratio %.2f; heap"
            + " up to %d MB%n",
        kind,
        rows,
        units,
        rows / indexed,
        rows / raw,
        raw / indexed,
        peak);
    IndexPlace place = places.indexed();
    double[] asked = new double[ROUNDS];
    double[] byHand = new double[ROUNDS];
    double[] unitsAsked = new double[ROUNDS];
    double[] unitsByHand = new double[ROUNDS];
    try (Index index = Index.open(folder.resolve("indexed"), place)) {
      for (int i = 0; i < ROUNDS; i++) {
        long start = System.nanoTime();
        IndexedBatch batch = index.batch(BATCH);
        asked[i] = (System.nanoTime() - start) / 1e9;
        require(batch.runs().size() == units, "runs");
        require(batch.columns().stream().mapToInt(c -> c.values().size()).sum() == rows, "results");
        byHand[i] = RawRows.askedByHand(place, BATCH);
        start = System.nanoTime();
        require(index.units(BATCH).size() == units, "units");
        unitsAsked[i] = (System.nanoTime() - start) / 1e9;
        unitsByHand[i] = RawRows.unitsByHand(place, BATCH);
      }
    }
    System.out.printf(
        Locale.ROOT,
        "%s: everything of the batch in %.2f s, the same SQL by hand %.2f s, ratio %.2f; its units"
            + " in %.0f ms, by hand %.0f ms, ratio %.2f%n",
        kind,
        median(asked),
        median(byHand),
        median(asked) / median(byHand),
        1e3 * median(unitsAsked),
        1e3 * median(unitsByHand),
        median(unitsAsked) / median(unitsByHand));
  }

  private static double median(double[] seconds) {
    double[] sorted = seconds.clone();
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }

  private static void require(boolean good, String what) {
    if (!good) {
      throw new IllegalStateException("the index has not all " + what);
    }
  }

  private void rebuild(String kind, Path records, IndexPlace place) throws Exception {
    double read = // the first time it reads from the disk
        Math.min(
            RawRows.documentsRead(records, looked -> true),
            RawRows.documentsRead(records, looked -> true));
    forgetPeaks();
    long start = System.nanoTime();
    Indexing done =
        Indexing.rebuild(
            records,
            place,
            (looked, of) -> {
              if (looked % 500 == 0 && System.console() != null) {
                System.out.printf(Locale.ROOT, "\r%d of %d", looked, of);
              }
              return true;
            });
    double seconds = (System.nanoTime() - start) / 1e9;
    require(done.taken() == units && done.findings().isEmpty(), "documents");
    System.out.printf(
        Locale.ROOT,
        "%s: rebuilt from %d documents in %.1f s, only reading them %.1f s, ratio %.2f; heap up to"
            + " %d MB%n",
        kind,
        units,
        seconds,
        read,
        seconds / read,
        peakMegabytes());
  }

  /**
   * A batch in a folder, as its statistics need it: by the index beside it, brought up to the
   * documents first, against reading every document. Of a twentieth of the units, as documents of
   * all of them at once would not go into the memory.
   */
  private void folder(Path records) throws Exception {
    int few = Math.max(1, units / 20);
    documents(records, few);
    require(Indexing.rebuild(records, (looked, of) -> true).taken() == few, "documents");
    double[] indexed = new double[ROUNDS];
    double[] read = new double[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
      long start = System.nanoTime();
      try (Index index = Index.open(records)) {
        require(Indexing.catchUp(records, index, (looked, of) -> true).taken() == 0, "documents");
        require(index.batch(BATCH).runs().size() == few, "runs");
      }
      indexed[i] = (System.nanoTime() - start) / 1e9;
      start = System.nanoTime();
      Batch batch = Batch.of(BATCH, new RecordFolder(records).runs(BATCH).runs());
      require(Series.of(batch).size() > 1 && batch.units().size() == few, "documents");
      read[i] = (System.nanoTime() - start) / 1e9;
    }
    System.out.printf(
        Locale.ROOT,
        "A batch of %d units in a folder: by its index in %.2f s, from its documents in %.2f s, ratio"
            + " %.2f%n",
        few,
        median(indexed),
        median(read),
        median(indexed) / median(read));
  }

  private static void forgetPeaks() {
    System.gc();
    ManagementFactory.getMemoryPoolMXBeans().forEach(MemoryPoolMXBean::resetPeakUsage);
  }

  private static long peakMegabytes() {
    return ManagementFactory.getMemoryPoolMXBeans().stream()
            .filter(pool -> pool.getType() == MemoryType.HEAP)
            .mapToLong(pool -> pool.getPeakUsage().getUsed())
            .sum()
        / (1 << 20);
  }

  /** Without events, which no row is made of. */
  private RunRecord record(int number) {
    return RunRecord.of(entries(number));
  }

  private void documents(Path records, int number) throws IOException {
    for (int i = 0; i < number; i++) {
      RunRecord record = record(i);
      var document = EventCodec.tree(record);
      document.put("schema", EventCodec.SCHEMA);
      Files.writeString(
          records.resolve(String.format(Locale.ROOT, "run-%06d.json", i)),
          EventCodec.text(document, false));
    }
  }

  private List<Entry> entries(int number) {
    Random random = new Random(number);
    Instant begin = Instant.parse("2026-01-01T00:00:00Z").plusSeconds(300L * number);
    String unit = String.format(Locale.ROOT, "LN12-%06d", number);
    String run = begin + "-" + unit;
    List<Entry> entries = new ArrayList<>();
    entries.add(
        new Entry(
            run,
            0,
            begin,
            new Event.RunStarted(
                run,
                "shop",
                "bench-" + number % 5,
                unit,
                BATCH,
                "Linnet 12",
                "B",
                "made up",
                Map.of(),
                List.of(new Event.PlannedStep("step", Conditions.NONE, Duration.ZERO)))));
    List<String> failed = new ArrayList<>();
    for (int i = 0; i < results; i++) {
      boolean bad = random.nextInt(40 * results) == 0;
      Measurement measurement =
          Measurement.of(
              "gain " + i / 6,
              Conditions.of("mode", i % 2 == 0 ? "triode" : "ultralinear")
                  .with("tap", TAPS.get(i / 2 % 3)),
              Quantity.of(27.3 + 0.1 * random.nextGaussian(), Unit.DECIBEL));
      if (bad) {
        failed.add(measurement.title());
      }
      Judgement judgement =
          new Judgement(
              bad ? Judgement.Outcome.FAIL : Judgement.Outcome.PASS,
              new Limit.Scalar(Quantity.of(26, Unit.DECIBEL), Quantity.of(28, Unit.DECIBEL)),
              "26 dB to 28 dB");
      entries.add(
          new Entry(run, entries.size(), begin, new Event.ResultJudged(0, measurement, judgement)));
    }
    boolean good = failed.isEmpty();
    entries.add(
        new Entry(
            run,
            entries.size(),
            begin,
            new Event.StepFinished(
                0,
                "step",
                Conditions.NONE,
                good ? StepOutcome.PASSED : StepOutcome.FAILED,
                "",
                Duration.ofSeconds(250))));
    entries.add(
        new Entry(
            run,
            entries.size(),
            begin.plusSeconds(250),
            new Event.RunEnded(
                good ? Verdict.PASS : Verdict.FAIL,
                good ? "" : failed.size() + " results failed",
                failed)));
    return entries;
  }
}
