package kitproof.batch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.Pareto;
import kitproof.limit.statistics.Yield;

/**
 * The units made together, each with its runs.
 *
 * @param name of the batch
 * @param units by the start of their last attempt
 */
public record Batch(String name, List<UnitHistory> units) {
  public Batch {
    units = List.copyOf(units);
  }

  /** Sorts runs by unit. */
  public static Batch of(String name, List<RunRecord> runs) {
    Map<String, List<RunRecord>> byUnit = new LinkedHashMap<>();
    runs.stream()
        .sorted(Comparator.comparing(RunRecord::started).thenComparing(RunRecord::run))
        .forEach(run -> byUnit.computeIfAbsent(run.unit(), u -> new ArrayList<>()).add(run));
    List<UnitHistory> units = new ArrayList<>();
    byUnit.forEach((serial, own) -> units.add(new UnitHistory(serial, own)));
    Comparator<UnitHistory> byTime = Comparator.comparing(unit -> judged(unit).started());
    units.sort(byTime.thenComparing(unit -> judged(unit).run()));
    return new Batch(name, units);
  }

  private static RunRecord judged(UnitHistory unit) {
    return unit.last().orElse(unit.runs().get(0));
  }

  /** Only the units whose last attempt passed. */
  public Batch goodUnits() {
    return new Batch(name, units.stream().filter(UnitHistory::isGood).toList());
  }

  public int runCount() {
    return units.stream().mapToInt(unit -> unit.runs().size()).sum();
  }

  /** Runs that ended in error: the station's, not the units'. */
  public int stationErrors() {
    return units.stream().mapToInt(unit -> unit.runs().size() - unit.attempts().size()).sum();
  }

  /** Units whose first attempt passed; empty if there was no attempt. */
  public Optional<Yield> firstPass() {
    return passing(UnitHistory::first);
  }

  /** Units whose last attempt passed; empty if there was no attempt. */
  public Optional<Yield> finalPass() {
    return passing(UnitHistory::last);
  }

  private Optional<Yield> passing(Function<UnitHistory, Optional<RunRecord>> attempt) {
    List<RunRecord> runs = units.stream().flatMap(unit -> attempt.apply(unit).stream()).toList();
    long good = runs.stream().filter(run -> run.verdict() == Verdict.PASS).count();
    return runs.isEmpty() ? Optional.empty() : Optional.of(new Yield((int) good, runs.size()));
  }

  /** What failed in the first attempts, each result's name once a unit. */
  public List<Pareto.Bar> firstFailures() {
    return Pareto.of(
        units.stream()
            .flatMap(unit -> unit.first().stream())
            .flatMap(run -> failures(run).stream())
            .toList());
  }

  /** The names of the results that failed in a run, each once, or its verdict if none did. */
  static List<String> failures(RunRecord run) {
    List<String> names =
        run.steps().stream()
            .flatMap(step -> step.results().stream())
            .filter(result -> result.judgement().outcome().fails())
            .map(result -> result.measurement().name())
            .distinct()
            .toList();
    boolean unsaid = names.isEmpty() && run.verdict() != Verdict.PASS;
    return unsaid ? List.of(String.valueOf(run.verdict())) : names;
  }
}
