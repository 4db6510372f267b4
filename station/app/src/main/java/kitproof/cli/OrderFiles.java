package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Entered;
import kitproof.document.Parsed;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plan.TimeKind;
import kitproof.plugin.Drivers;
import kitproof.screen.Station.Instrument;
import kitproof.screen.Station.Opening;
import kitproof.screen.Station.Order;
import kitproof.screen.Station.Started;
import kitproof.value.Location;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/**
 * The files that orders from a screen are about, as they are on disk when one comes, and all of
 * them that may be in its way. Touches no hardware.
 */
final class OrderFiles {
  private final PlanShelf shelf;
  private final Path benchFile;
  private final Bench bench;
  private final Drivers drivers;
  private final Allowed allowed;
  private final Path records;

  /**
   * What whoever started the program allows and names for all of its runs.
   *
   * @param uncalibrated whether the bench may be without a calibration that holds
   * @param override who has opened the station's lock, and why; null if nobody has
   * @param reference the unit that runs are compared with, where their plans leave that open
   */
  record Allowed(
      boolean uncalibrated,
      StationGate.@Nullable Override override,
      ReferenceUnitOption reference) {
    /** Nothing. */
    static final Allowed NOTHING = new Allowed(false, null, new ReferenceUnitOption());
  }

  /**
   * What an order comes to.
   *
   * @param prepared what is to be run; null if something is in the way
   * @param started that it may begin, or what is in the way
   */
  record Answer(@Nullable Prepared prepared, Started started) {
    private static Answer not(Started why) {
      return new Answer(null, why);
    }
  }

  /**
   * Those of a station.
   *
   * @param bench as the program was started with it
   * @param records the folder of the station's records
   */
  OrderFiles(
      PlanShelf shelf,
      Path benchFile,
      Bench bench,
      Drivers drivers,
      Allowed allowed,
      Path records) {
    this.shelf = shelf;
    this.benchFile = benchFile;
    this.bench = bench;
    this.drivers = drivers;
    this.allowed = allowed;
    this.records = records;
  }

  PlanShelf shelf() {
    return shelf;
  }

  Path benchFile() {
    return benchFile;
  }

  Bench bench() {
    return bench;
  }

  Drivers drivers() {
    return drivers;
  }

  Path records() {
    return records;
  }

  List<Instrument> instruments() {
    return InstrumentPapers.of(benchFile);
  }

  /** That units will be refused, before somebody has put one on the bench; empty if they won't. */
  Optional<String> lock() {
    return allowed.override != null
        ? Optional.empty()
        : LockNotice.now(bench, benchFile, records, allowed.uncalibrated);
  }

  /**
   * Everything that would keep a plan from running, whichever unit is on the bench.
   *
   * @return empty if there is no such plan
   */
  Optional<List<Problem>> check(String plan) throws IOException {
    Optional<Path> file = shelf.file(plan);
    if (file.isEmpty()) {
      return Optional.empty();
    }
    Parsed<Prepared> read = read(file.get(), Entered.NOTHING);
    return Optional.of(
        read.isSound()
            ? allowed.reference.in(read.value(), records, "").problems()
            : read.problems());
  }

  /** What is to be run, or what is in the way. */
  Answer prepare(Order order) throws IOException {
    Optional<Path> file = shelf.file(order.plan());
    if (file.isEmpty()) {
      return Answer.not(Started.refused("there is no plan \"" + order.plan() + "\" any more"));
    }
    Parsed<Prepared> prepared = read(file.get(), order.entered());
    if (prepared.isSound() && !StationGate.isOfTheStation(prepared.value(), order.unit())) {
      prepared =
          StationGate.pass(prepared.value(), benchFile, records, opening(order), Instant.now());
      if (!prepared.isSound()) {
        return Answer.not(locked(prepared.problems().get(0)));
      }
    }
    if (!prepared.isSound()) {
      return Answer.not(Started.wrong(prepared.problems()));
    }
    if (prepared.value().plan().calibrates() && order.entered().by().isEmpty()) {
      return Answer.not(Started.refused("a calibration needs the name of the person who does it"));
    }
    Optional<Started> wrong = OrderRules.wrong(prepared.value(), order, bench, records);
    if (wrong.isPresent()) {
      return Answer.not(wrong.get());
    }
    Parsed<Prepared> compared = allowed.reference.in(prepared.value(), records, order.unit());
    return compared.isSound()
        ? new Answer(compared.value(), Started.BEGUN)
        : Answer.not(Started.wrong(compared.problems()));
  }

  private static Started locked(Problem locked) {
    String expected =
        locked
            .expected()
            .replace(StationGate.BY_OPTION, "somebody who opens the lock by name and reason");
    return Started.locked(locked.found() + "; expected " + expected);
  }

  /** Who opens the lock for this run: at the screen, or else for all runs of this program. */
  private StationGate.@Nullable Override opening(Order order) {
    Opening at = order.opening();
    return at == null ? allowed.override : new StationGate.Override(at.name(), at.reason());
  }

  private Parsed<Prepared> read(Path plan, Entered entered) {
    Parsed<Plan> calibration = PlanReader.read(plan);
    boolean calibrates = calibration.isSound() && calibration.value().calibrates();
    return Prepared.read(plan, benchFile, drivers, allowed.uncalibrated || calibrates)
        .map(
            prepared ->
                calibrates ? prepared.calibrating(CalibrationFiles.before(benchFile)) : prepared)
        .checked(prepared -> undated(prepared, plan, entered));
  }

  private List<Problem> undated(Prepared prepared, Path plan, Entered entered) {
    if (!prepared.plan().calibrates()) {
      return List.of();
    }
    List<Problem> problems = new ArrayList<>();
    if (prepared.bench().time() == TimeKind.REAL && prepared.plan().holdsDays() == 0) {
      problems.add(
          Problem.of(
              Location.of(plan.toString()),
              "a calibration that does not say for how long it holds",
              "holds-days: 365, or so"));
    }
    problems.addAll(
        CalibrationFiles.ofPapers(
            benchFile, prepared.bench(), entered, Location.of("the papers of the instruments")));
    return problems;
  }
}
