package kitproof.run;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import kitproof.calibration.Calibration;
import kitproof.calibration.Entered;
import kitproof.document.Located;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.TimeKind;
import kitproof.value.Location;
import kitproof.value.Problem;

/** A calibration against the bench that it is to be of. */
public final class CalibrationOnBench {
  private CalibrationOnBench() {}

  /** Everything that does not fit. */
  public static List<Problem> check(Calibration calibration, Bench bench) {
    List<Problem> problems = new ArrayList<>();
    Located<String> name = calibration.bench();
    if (!name.value().equals(bench.name())) {
      problems.add(
          Problem.of(
              name.location(), "bench \"" + name.value() + "\"", "\"" + bench.name() + "\""));
    }
    if (bench.time() == TimeKind.REAL && calibration.due().isEmpty()) {
      problems.add(
          Problem.of(
              Location.of(name.location().file()),
              "a calibration of a real bench that never expires",
              "due: the last day on which it holds"));
    }
    for (Located<String> role : calibration.roles()) {
      if (!bench.roles().containsKey(role.value())) {
        problems.add(
            Problem.unknownName(role.location(), "role", role.value(), bench.roles().keySet()));
      }
    }
    Set<String> routes = new TreeSet<>(bench.routes().stream().map(Route::name).toList());
    if (bench.fixedLoad().isPresent()) {
      routes.add(Bench.FIXED_LOAD);
    }
    for (Located<String> route : calibration.routes()) {
      if (!routes.contains(route.value())) {
        problems.add(Problem.unknownName(route.location(), "route", route.value(), routes));
      }
    }
    problems.addAll(ranges(calibration, bench));
    return problems;
  }

  /**
   * Everything that is wrong with what is entered of the instruments: by itself, or as this bench
   * does not have them.
   *
   * @param place for the messages
   */
  public static List<Problem> entered(Entered entered, Bench bench, Location place) {
    List<Problem> problems = new ArrayList<>(entered.problems(place));
    for (String role : entered.roles()) {
      if (!bench.roles().containsKey(role)) {
        problems.add(Problem.unknownName(place, "role", role, bench.roles().keySet()));
      }
    }
    for (Entered.Accuracy each : entered.accuracies()) {
      Bench.Role role = bench.roles().get(each.role());
      if (role == null) {
        continue;
      }
      if (role.kind() != InstrumentKind.METER) {
        problems.add(
            Problem.of(
                place, "limits of error of " + each.role() + ", a " + role.kind(), "a meter"));
      } else if (!role.meterFunctions().isEmpty()
          && !role.meterFunctions().contains(each.function())) {
        problems.add(
            Problem.unknownName(
                place, "function of " + each.role(), each.function(), role.meterFunctions()));
      }
    }
    return problems;
  }

  /** Where one range of an input is calibrated, the others are: figures use them by turns. */
  private static List<Problem> ranges(Calibration calibration, Bench bench) {
    List<String> ranges =
        bench.routes().stream()
            .filter(route -> route.purpose() == Route.Purpose.RANGE)
            .map(Route::name)
            .toList();
    List<Problem> problems = new ArrayList<>();
    Set<String> seen = new HashSet<>();
    for (Located<Calibration.Place> input : calibration.inputs()) {
      Calibration.Place place = input.value();
      if (place.range() == null && !ranges.isEmpty()) {
        problems.add(
            Problem.of(
                input.location(),
                "a full scale of input " + place.channel() + " without its range",
                "range: one of " + String.join(", ", ranges)));
      } else if (seen.add(place.role() + " " + place.channel())) {
        for (String range : ranges) {
          if (calibration.input(place.role(), place.channel(), range).isEmpty()) {
            problems.add(
                Problem.of(
                    input.location(),
                    "input " + place.channel() + " without range \"" + range + "\"",
                    "a full scale in every range"));
          }
        }
      }
    }
    return problems;
  }
}
