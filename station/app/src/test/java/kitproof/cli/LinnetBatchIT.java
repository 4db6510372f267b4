package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import kitproof.cause.CauseFile;
import kitproof.cause.Found;
import kitproof.cause.Suggestion;
import kitproof.driver.SimulatedClock;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.mqtt.RecordMessage;
import kitproof.plot.Drawing;
import kitproof.plot.DrawnWords;
import kitproof.plot.Plot;
import kitproof.plot.Plots;
import kitproof.plot.Raster;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The shipped plan, bench and limits on the batch of twelve: every healthy unit passes, and every
 * faulty one fails by the results that its fault must spoil and by no others. Judged from the
 * record documents on disk.
 */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class LinnetBatchIT {
  private static final Drivers DRIVERS = DriverLoader.load(Path.of("no-such-folder"));
  private static final Path BENCH = Cli.example("bench-simulated.yaml");

  private static final String FLYBACK_METER =
      """

        flyback-meter:
          driver: simulated-bench
          kind: meter
          settings:
            bench: linnet-12
            functions:
              flyback: {point: flyback}
      """;

  private static final List<String> BATCH =
      IntStream.rangeClosed(1, 12).mapToObj("LN12-%03d"::formatted).toList();

  private static final CauseFile CAUSES =
      CauseFile.read(Cli.HOME.resolve("limits/linnet-12/causes.yaml"), "Linnet 12").value();

  @TempDir static Path folder;

  private final ExecutorService workers = Executors.newFixedThreadPool(2);
  private final Map<String, RunRecord> records = new TreeMap<>();
  private RecordStore store;
  private int steps;

  @BeforeAll
  void runTheBatch() throws Exception {
    store = new RecordStore(folder.resolve("records"));
    Prepared prepared = prepared(BENCH);
    steps = prepared.plan().steps().size() + prepared.plan().shutDown().size();
    runAll(prepared, BATCH).forEach(record -> records.put(record.unit(), record));
  }

  @AfterAll
  void end() {
    workers.shutdownNow();
  }

  private static Prepared prepared(Path bench) {
    return prepared(Cli.example("plan.yaml"), bench);
  }

  private static Prepared prepared(Path plan, Path bench) {
    return Prepared.read(plan, bench, DRIVERS).value();
  }

  private List<RunRecord> runAll(Prepared prepared, List<String> serials)
      throws InterruptedException, ExecutionException {
    List<Future<RunRecord>> running = new ArrayList<>();
    for (String serial : serials) {
      running.add(workers.submit(() -> run(prepared, serial)));
    }
    List<RunRecord> ended = new ArrayList<>();
    for (Future<RunRecord> one : running) {
      ended.add(one.get());
    }
    return ended;
  }

  private RunRecord run(Prepared prepared, String serial) throws IOException {
    Instant start = Instant.parse("2026-11-25T08:00:00Z");
    UnitRun.Outcome outcome =
        new UnitRun(prepared, DRIVERS).run(store, serial, "", new SimulatedClock(start), null);
    RunRecord record = RecordDocument.read(outcome.record());
    assertThat(record.verdict()).isEqualTo(outcome.verdict());
    assertThat(RecordMessage.of(record, "x", 0).payload())
        .as("the board gets every result of %s", serial)
        .doesNotContain("\"missing\":");
    return record;
  }

  /** A name with some of the conditions. */
  private record Results(String name, Conditions conditions) {
    boolean include(Measurement measurement) {
      return measurement.name().equals(name) && measurement.conditions().satisfy(conditions);
    }
  }

  /** "gain, channel left, tap 4 ohm". */
  private static Results results(String text) {
    String[] parts = text.split(", ");
    Conditions conditions = Conditions.NONE;
    for (int i = 1; i < parts.length; i++) {
      String[] pair = parts[i].split(" ", 2);
      conditions = conditions.with(pair[0], pair[1]);
    }
    return new Results(parts[0], conditions);
  }

  private static Stream<RunRecord.Result> all(RunRecord record) {
    return record.steps().stream().flatMap(step -> step.results().stream());
  }

  static List<LinnetFault> faults() {
    return LinnetFault.ALL;
  }

  @ParameterizedTest
  @MethodSource("faults")
  void aFaultSpoilsWhatItMustAndNothingElse(LinnetFault fault) {
    RunRecord record = records.get(fault.serial());
    assertThat(record.verdict()).as(fault + ": " + record.reason()).isEqualTo(Verdict.FAIL);
    for (String text : fault.must()) {
      assertThat(all(record).filter(r -> results(text).include(r.measurement())))
          .as(fault + " must fail " + text)
          .isNotEmpty()
          .allMatch(r -> r.judgement().outcome() == Judgement.Outcome.FAIL);
    }
    List<Results> known =
        Stream.of(fault.must(), fault.may()).flatMap(List::stream).map(t -> results(t)).toList();
    assertThat(
            all(record)
                .filter(r -> r.judgement().outcome() == Judgement.Outcome.FAIL)
                .map(RunRecord.Result::measurement)
                .filter(m -> known.stream().noneMatch(k -> k.include(m)))
                .map(Measurement::title))
        .as(fault + " fails what its fault does not explain")
        .isEmpty();
    if (fault.runsToTheEnd()) {
      ranToTheEnd(fault.serial());
    }
  }

  private void ranToTheEnd(String serial) {
    assertThat(records.get(serial).steps())
        .hasSize(steps)
        .allMatch(
            s ->
                s.outcome() == StepOutcome.PASSED
                    || s.outcome() == StepOutcome.FAILED
                    || s.reason().startsWith("no reference unit was named"));
  }

  static List<String> healthy() {
    List<String> faulty = LinnetFault.ALL.stream().map(LinnetFault::serial).toList();
    return BATCH.stream().filter(serial -> !faulty.contains(serial)).toList();
  }

  @ParameterizedTest
  @MethodSource("healthy")
  void aHealthyUnitPasses(String serial) {
    RunRecord record = records.get(serial);
    assertThat(record.failed()).as(serial).isEmpty();
    assertThat(record.verdict()).as(record.reason()).isEqualTo(Verdict.PASS);
    ranToTheEnd(serial);
  }

  /** As kitproof plot draws them, one unit's and two units' over one another. */
  @Test
  void everyCurveOfAWholeRecordIsDrawnWithItsUnitsAndEveryLabelWhole() throws Exception {
    Plots.Source one = Plots.Source.of(records.get("LN12-001"));
    Plots.Source other = Plots.Source.of(records.get("LN12-004"));
    Set<String> curves = Plots.names(List.of(one));
    assertThat(curves).hasSizeGreaterThan(30);
    Path pictures = Files.createDirectories(Path.of("target/screenshots/plots"));
    for (String name : curves) {
      for (List<Plots.Source> sources : List.of(List.of(one), List.of(one, other))) {
        List<Plot> plots = Plots.of(sources, m -> m.name().equals(name));
        assertThat(plots).as(name).isNotEmpty();
        String svg = Drawing.svg(plots);
        DrawnWords.assertReadable(name, svg);
        List<String> words = DrawnWords.of(svg).stream().map(DrawnWords::text).toList();
        Curve curve = plots.get(0).lines().get(0).curve();
        for (Unit unit : List.of(curve.xUnit(), curve.yUnit())) {
          assertThat(words)
              .as("%s: a title of an axis in %s", name, unit)
              .anyMatch(w -> unit == Unit.ONE || w.endsWith(unit.symbol() + ")"));
        }
        if (sources.size() == 1) {
          String file = name.replaceAll("[^a-z0-9]+", "-") + ".png";
          Files.write(pictures.resolve(file), Raster.png(svg));
        }
      }
    }
  }

  @Test
  void aShortedSmoothingCapacitorIsCaughtBeforeTheLimiterIsTakenOut() {
    RunRecord record = records.get("LN12-008");
    assertThat(record.events())
        .extracting(entry -> entry.event())
        .filteredOn(Event.StepStarted.class::isInstance)
        .extracting(event -> ((Event.StepStarted) event).step())
        .containsExactly(
            "connect",
            "cold resistance",
            "cold resistance",
            "cold resistance",
            "cold resistance",
            "cold resistance",
            "first power",
            "discharge");
    // The mains went in the middle of the rise, with the curve so far in the record.
    assertThat(record.steps().get(6).took()).isLessThan(Duration.ofSeconds(3));
    // The rail was never seen live, and a meter's lead that is off would read the same.
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
    assertThat(record.notices()).anyMatch(notice -> notice.endsWith("measure the rail by hand"));
    assertThat(record.steps().subList(7, steps - 1))
        .allMatch(step -> step.outcome() == StepOutcome.SKIPPED && step.results().isEmpty());
  }

  /** The product's table of probable causes, asked what each of the batch suffers from. */
  @ParameterizedTest
  @MethodSource("faults")
  void theFirstProbableCauseOfAFaultyUnitIsItsFault(LinnetFault fault) {
    List<Suggestion> causes = causes(records.get(fault.serial()));
    assertThat(causes).as(fault.serial()).isNotEmpty();
    assertThat(causes.get(0).cause()).as(fault + ": " + causes).startsWith(fault.cause());
    assertThat(causes.get(0).where()).isEqualTo(fault.where());
    assertThat(causes).as("few enough to read").hasSizeLessThanOrEqualTo(4);
  }

  @Test
  void aHealthyUnitHasNoProbableCauseAndTheTableSpeaksOfResultsThatThereAre() {
    assertThat(causes(records.get("LN12-001"))).isEmpty();
    assertThat(all(records.get("LN12-001")).map(r -> r.measurement().name()))
        .containsAll(CAUSES.results());
  }

  private static List<Suggestion> causes(RunRecord record) {
    return CAUSES.suggest(all(record).map(r -> new Found(r.measurement(), r.judgement())).toList());
  }

  @Test
  void everyRunEndsInASafeStateThatWasReadBack() {
    assertThat(records).hasSize(12);
    assertThat(records.values())
        .allSatisfy(
            record -> {
              assertThat(record.safeStates()).hasSizeGreaterThanOrEqualTo(2);
              assertThat(record.safeStates()).allMatch(Event.SafeState::confirmed);
              // Where hum is the limit of crosstalk, that is told, that the oscillation of one unit
              // bounds its sweeps, and that the rail of the unit with a short was never seen to be
              // live; there is nothing else to tell.
              boolean oscillates = record.unit().equals("LN12-011");
              boolean neverLive = record.unit().equals("LN12-008");
              assertThat(record.notices())
                  .allMatch(
                      notice ->
                          notice.startsWith("crosstalk (")
                              || notice.contains("simulated bench, taken as exact")
                              || oscillates && notice.startsWith("left: swept ")
                              || neverLive && notice.startsWith("HV rail unknown: treat"));
            });
  }

  /** The shipped plan, at whose very end the model says how often it was driven without a load. */
  private static Path planThatAsksForFlyback() throws IOException {
    String plan = Files.readString(Cli.example("plan.yaml"));
    String limits = "../../../limits/";
    assertThat(plan).contains("limits: " + limits);
    String asks =
        """

          - {step: flyback, procedure: reading, meter: flyback-meter, function: flyback, result: flyback}
        """;
    Path file = folder.resolve("plan-flyback.yaml");
    String absolute = Cli.example(limits).normalize().toAbsolutePath() + "/";
    return Files.writeString(file, plan.stripTrailing().replace(limits, absolute) + asks);
  }

  @Test
  void aHealthyUnitOfAnotherSeedPassesTooAndIsNeverDrivenWithoutALoad() throws Exception {
    String bench = Files.readString(BENCH) + FLYBACK_METER;
    Path plan = planThatAsksForFlyback();
    int seed = 34;
    Path other = folder.resolve("bench-" + seed + ".yaml");
    assertThat(bench).contains("seed: 12\n");
    Files.writeString(other, bench.replace("seed: 12\n", "seed: " + seed + "\n"));
    RunRecord record = run(prepared(plan, other), "LN12-1%02d".formatted(seed));
    assertThat(record.verdict()).as("seed %s: %s", seed, record.reason()).isEqualTo(Verdict.PASS);
    assertThat(
            all(record)
                .map(RunRecord.Result::measurement)
                .filter(m -> m.name().equals("flyback"))
                .map(Measurement::figure))
        .containsExactly(new Figure.OfQuantity(Quantity.of(0, Unit.ONE)));
  }
}
