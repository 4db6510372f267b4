package kitproof.benchmark;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import kitproof.batch.Batch;
import kitproof.batch.RecordFolder;
import kitproof.batch.Series;
import kitproof.peer.PostgreSql;
import kitproof.store.Index;
import kitproof.store.IndexLogin;
import kitproof.store.IndexPlace;
import kitproof.store.IndexedBatch;
import kitproof.store.Indexing;
import kitproof.store.PostgresPlace;
import kitproof.store.RawRows;

/**
 * The index at scale, in SQLite and in a PostgreSQL of its own: writing against raw JDBC batches on
 * the same tables, the questions of a batch against the same SQL by hand, and the rebuild from
 * documents against only reading them.
 *
 * <p>Arguments: units; results of each; curves in the document of each, if not as many as beside so
 * many results of a Linnet.
 */
public final class StoreBenchmark {
  private static final int ROUNDS = 5;

  /** Units whose rows are written before anything is timed. */
  private static final int WARM = 500;

  private final int units;
  private final MadeUpRecords records;

  private StoreBenchmark(int units, MadeUpRecords records) {
    this.units = units;
    this.records = records;
  }

  public static void main(String[] arguments) throws Exception {
    int results = Integer.parseInt(arguments[1]);
    int curves =
        arguments.length > 2 ? Integer.parseInt(arguments[2]) : MadeUpRecords.curvesBeside(results);
    StoreBenchmark benchmark =
        new StoreBenchmark(Integer.parseInt(arguments[0]), new MadeUpRecords(results, curves));
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
      long bytes = benchmark.records.documents(records, benchmark.units);
      System.out.printf(
          Locale.ROOT,
          "Documents: %d with %d results and %d curves each, %.0f kB; in all %.0f MB%n",
          benchmark.units,
          results,
          curves,
          bytes / 1e3,
          bytes * (double) benchmark.units / 1e6);
      RawRows.documentsRead(records, WARM);
      double read = RawRows.documentsRead(records, benchmark.units);
      benchmark.rebuild("SQLite", records, IndexPlace.beside(records), read);
      benchmark.rebuild(
          "PostgreSQL", records, PostgresPlace.parse(server.address("rebuilt"), login), read);
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
    // both ways, so that none of them is timed while the JVM still learns it; the index last, as it
    // takes the place of what is there
    RawRows.byHand(folder.resolve("warm"), places.warm(), WARM, records::record);
    RawRows.throughIndex(folder.resolve("warm"), places.warm(), WARM, records::record);
    forgetPeaks();
    double indexed =
        RawRows.throughIndex(folder.resolve("indexed"), places.indexed(), units, records::record);
    long peak = peakMegabytes();
    double raw = RawRows.byHand(folder.resolve("raw"), places.raw(), units, records::record);
    int rows = units * records.results();
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
      index.batch(MadeUpRecords.BATCH); // both ways once without timing, as above
      RawRows.askedByHand(place, MadeUpRecords.BATCH);
      for (int i = 0; i < ROUNDS; i++) {
        long start = System.nanoTime();
        IndexedBatch batch = index.batch(MadeUpRecords.BATCH);
        asked[i] = (System.nanoTime() - start) / 1e9;
        require(batch.runs().size() == units, "runs");
        require(batch.columns().stream().mapToInt(c -> c.values().size()).sum() == rows, "results");
        byHand[i] = RawRows.askedByHand(place, MadeUpRecords.BATCH);
        start = System.nanoTime();
        require(index.units(MadeUpRecords.BATCH).size() == units, "units");
        unitsAsked[i] = (System.nanoTime() - start) / 1e9;
        unitsByHand[i] = RawRows.unitsByHand(place, MadeUpRecords.BATCH);
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

  /** How far a rebuild is, and how much memory it has taken until then, ten times on its way. */
  private static void told(String kind, int looked, int of) {
    if (looked * 10 / of > (looked - 1) * 10 / of) {
      System.out.printf(
          Locale.ROOT,
          "%s: %d of %d documents, heap up to %d MB%n",
          kind,
          looked,
          of,
          peakMegabytes());
    }
  }

  private void rebuild(String kind, Path folder, IndexPlace place, double read) throws Exception {
    forgetPeaks();
    long start = System.nanoTime();
    Indexing done =
        Indexing.rebuild(
            folder,
            place,
            (looked, of) -> {
              told(kind, looked, of);
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
   * documents first, against reading every document. Of a fiftieth of the units, as documents of
   * all of them at once would not go into the memory.
   */
  private void folder(Path folder) throws Exception {
    int few = Math.max(1, units / 50);
    records.documents(folder, few);
    require(Indexing.rebuild(folder, (looked, of) -> true).taken() == few, "documents");
    double[] indexed = new double[ROUNDS];
    double[] read = new double[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
      long start = System.nanoTime();
      try (Index index = Index.open(folder)) {
        require(Indexing.catchUp(folder, index, (looked, of) -> true).taken() == 0, "documents");
        require(index.batch(MadeUpRecords.BATCH).runs().size() == few, "runs");
      }
      indexed[i] = (System.nanoTime() - start) / 1e9;
      start = System.nanoTime();
      Batch batch =
          Batch.of(MadeUpRecords.BATCH, new RecordFolder(folder).runs(MadeUpRecords.BATCH).runs());
      require(Series.of(batch).size() > 1 && batch.units().size() == few, "documents");
      read[i] = (System.nanoTime() - start) / 1e9;
    }
    System.out.printf(
        Locale.ROOT,
        "A batch of %d units in a folder: by its index in %.2f s, from its documents in %.2f s,"
            + " ratio %.2f%n",
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
}
