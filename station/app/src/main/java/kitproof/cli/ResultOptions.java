package kitproof.cli;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Nearest;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Which results of the records a command is about. */
final class ResultOptions {
  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Option(
      names = "--result",
      paramLabel = "NAME",
      description = "Only this result; every one otherwise. Can be repeated.")
  private List<String> results = List.of();

  @Option(
      names = "--when",
      paramLabel = "CONDITION=VALUE",
      description = "Only results that hold under this, such as mode=triode. Can be repeated.")
  private Map<String, String> when = new LinkedHashMap<>();

  /** Whether this one is meant. */
  boolean include(Measurement measurement) {
    return named(measurement) && measurement.conditions().satisfy(new Conditions(when));
  }

  /** Whether this one of an analysis is meant, which knows of few conditions. */
  boolean includeAnalysed(Measurement measurement) {
    return named(measurement) && agree(measurement.conditions(), new Conditions(when));
  }

  private boolean named(Measurement measurement) {
    return results.isEmpty() || results.contains(measurement.name());
  }

  /** Whether no condition that both name differs. */
  static boolean agree(Conditions some, Conditions others) {
    return some.values().entrySet().stream()
        .allMatch(
            one ->
                others.values().getOrDefault(one.getKey(), one.getValue()).equals(one.getValue()));
  }

  /**
   * Refuses a name that is not among those.
   *
   * @param names of the results in the records
   * @throws ParameterException naming the nearest one
   */
  void check(Set<String> names) {
    for (String result : results) {
      if (!names.contains(result)) {
        String hint =
            Nearest.to(result, names).map(n -> "; did you mean \"" + n + "\"?").orElse("");
        throw new ParameterException(
            spec.commandLine(),
            "--result: found \""
                + result
                + "\"; expected one of "
                + String.join(", ", names)
                + hint);
      }
    }
  }

  /**
   * What to say if nothing is left.
   *
   * @param kind "curve" or "result"
   */
  ParameterException nothing(String kind) {
    return new ParameterException(
        spec.commandLine(),
        "--when: found no "
            + kind
            + " when "
            + new Conditions(when)
            + "; expected conditions of the records");
  }
}
