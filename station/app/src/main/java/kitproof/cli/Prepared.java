package kitproof.cli;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.cause.CauseFile;
import kitproof.document.Parsed;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plugin.Drivers;
import kitproof.run.Preflight;
import kitproof.run.References;
import kitproof.value.Problem;

/**
 * A plan, its bench and its limits, read and found to fit one another.
 *
 * @param plan what to do
 * @param bench with which instruments
 * @param limits what to judge against
 * @param causes what failures usually mean, if a table stands beside the limits
 * @param digests plan, bench and limits to the digest of the file's bytes
 * @param calibration text of the calibration that the bench is corrected by; empty if by none
 * @param references the other units that steps compare with; none until they are looked for
 */
record Prepared(
    Plan plan,
    Bench bench,
    LimitFile limits,
    CauseFile causes,
    Map<String, String> digests,
    String calibration,
    References references) {
  /** All three, or everything that is wrong with any of them; touches no hardware. */
  static Parsed<Prepared> read(Path planFile, Path benchFile, Drivers drivers) {
    return read(planFile, benchFile, drivers, false);
  }

  /**
   * The same.
   *
   * @param uncalibrated whether the bench may be without a calibration that holds
   */
  static Parsed<Prepared> read(
      Path planFile, Path benchFile, Drivers drivers, boolean uncalibrated) {
    Parsed<Plan> plan = PlanReader.read(planFile);
    boolean allowed = uncalibrated || (plan.isSound() && plan.value().uncalibrated());
    Parsed<Bench> written = BenchReader.read(benchFile);
    Parsed<Bench> bench = written.flatMap(read -> standing(read, benchFile, allowed));
    List<Problem> problems = new ArrayList<>(plan.problems());
    problems.addAll(bench.problems());
    if (!bench.isSound() && written.isSound()) { // of the bench the rest can be told all the same
      bench = written;
    }
    if (!plan.isSound()) {
      if (bench.isSound()) {
        problems.addAll(Preflight.bench(bench.value(), drivers.byId()));
      }
      return Parsed.wrong(problems);
    }
    Parsed<LimitFile> limits = NamedLimits.of(plan.value());
    problems.addAll(limits.problems());
    Parsed<CauseFile> causes = causes(plan.value());
    problems.addAll(causes.problems());
    if (bench.isSound() && limits.isSound()) {
      problems.addAll(Preflight.check(plan.value(), bench.value(), limits.value(), drivers.byId()));
    } else if (bench.isSound()) {
      problems.addAll(Preflight.bench(bench.value(), drivers.byId()));
    } else if (limits.isSound()) {
      problems.addAll(Preflight.limits(limits.value(), plan.value()));
    }
    if (!problems.isEmpty()) {
      return Parsed.wrong(problems);
    }
    Map<String, String> digests = new LinkedHashMap<>();
    digests.put("plan", Digest.of(planFile));
    digests.put("bench", Digest.of(benchFile));
    digests.put("limits", Digest.of(plan.value().limits()));
    String calibration = "";
    if (bench.value().standing().calibration().isPresent()) {
      Path file = Calibration.beside(benchFile);
      digests.put("calibration", Digest.of(file));
      calibration = text(file);
    }
    return Parsed.of(
        new Prepared(
            plan.value(),
            bench.value(),
            limits.value(),
            causes.value(),
            digests,
            calibration,
            References.NONE));
  }

  /** The same on this bench. */
  Prepared on(Bench other) {
    return new Prepared(plan, other, limits, causes, digests, calibration, references);
  }

  /**
   * The same while the bench is being calibrated: what is calibrated is measured as the instruments
   * show it, but for what the certificates of meters say.
   *
   * @param before the file that will be replaced
   */
  Prepared calibrating(Optional<Calibration> before) {
    return on(bench.standing(Standing.calibrating(before)));
  }

  /** The same by this plan. */
  Prepared by(Plan other) {
    return new Prepared(other, bench, limits, causes, digests, calibration, references);
  }

  /** The same, compared with these other units. */
  Prepared comparedWith(References others) {
    return new Prepared(plan, bench, limits, causes, digests, calibration, others);
  }

  /** The digest of the calibration that the bench is corrected by; empty if by none. */
  String calibrationDigest() {
    return digests.getOrDefault("calibration", "");
  }

  private static Parsed<Bench> standing(Bench bench, Path benchFile, boolean uncalibrated) {
    return BenchStanding.of(bench, benchFile, uncalibrated, LocalDate.now(ZoneOffset.UTC))
        .map(bench::standing);
  }

  private static String text(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new UncheckedIOException(file + " cannot be read", e);
    }
  }

  private static Parsed<CauseFile> causes(Plan plan) {
    Path file = plan.limits().resolveSibling(CauseFile.NAME);
    return Files.exists(file) ? CauseFile.read(file, plan.product()) : Parsed.of(CauseFile.NONE);
  }
}
