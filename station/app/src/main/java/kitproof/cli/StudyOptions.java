package kitproof.cli;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import kitproof.gauge.Study;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Of what trials a gauge study consists. */
final class StudyOptions {
  private static final int MOST_TRIALS = 10_000;
  private static final int USUAL_REPEATS = 3;

  @Option(
      names = "--units",
      paramLabel = "SERIAL",
      split = ",",
      description = "The units, 2 or more, that differ as production does.")
  private List<String> units = List.of();

  @Option(
      names = "--appraisers",
      paramLabel = "PERSON",
      split = ",",
      description = "Who connects and measures, 2 or more.")
  private List<String> appraisers = List.of();

  @Option(
      names = "--reloads",
      paramLabel = "N",
      description = "Instead of appraisers: how often each unit is taken off and connected anew.")
  private @Nullable Integer reloads;

  @Option(
      names = "--repeats",
      paramLabel = "N",
      description = "How often each measures each unit (default: 3).")
  private @Nullable Integer repeats;

  @Option(
      names = "--blind",
      description = "Hide serial numbers behind labels, and results; key.csv has the labels.")
  private boolean blind;

  @Option(names = "--seed", paramLabel = "N", description = "Of the order; drawn if left out.")
  private @Nullable Long seed;

  /** A study that was begun goes on as it was drawn, or not at all. */
  Study same(CommandLine command, Study begun, Prepared prepared) {
    if (!begun.digests().equals(prepared.digests())) {
      throw wrong(
          command,
          "found study \""
              + begun.name()
              + "\" begun with other files (plan, bench or limits have changed since); expected the"
              + " same ones, or another name for a new study");
    }
    boolean other =
        (!units.isEmpty() && !units.equals(begun.units()))
            || (!appraisers.isEmpty() && !appraisers.equals(begun.appraisers()))
            || (reloads != null && !reloadNames(reloads).equals(begun.appraisers()))
            || (repeats != null && repeats != begun.repeats())
            || (seed != null && seed != begun.seed())
            || (blind && !begun.blind());
    if (other) {
      throw wrong(
          command,
          "found study \""
              + begun.name()
              + "\" begun with units "
              + String.join(",", begun.units())
              + ", "
              + begun.by()
              + "s "
              + String.join(",", begun.appraisers())
              + ", "
              + begun.repeats()
              + " repeats; expected these or none of them, or another name for a new study");
    }
    return begun;
  }

  /** A study drawn by lot. */
  Study drawn(CommandLine command, String name, Prepared prepared) {
    if (units.isEmpty()) {
      throw wrong(command, "found no study \"" + name + "\" yet; expected --units to begin it");
    }
    if (appraisers.isEmpty() && reloads == null) {
      throw wrong(command, "found neither --appraisers nor --reloads; expected one of them");
    }
    List<String> who = reloads == null ? appraisers : reloadNames(reloads);
    int times = repeats == null ? USUAL_REPEATS : repeats;
    requireTwo(command, "--units", units);
    requireTwo(command, reloads == null ? "--appraisers" : "--reloads", who);
    if (times < 2) {
      throw wrong(command, "--repeats: found " + times + "; expected 2 or more");
    }
    if ((long) units.size() * who.size() * times > MOST_TRIALS) {
      throw wrong(
          command, "found more than " + MOST_TRIALS + " trials; expected fewer units or repeats");
    }
    for (String unit : units) {
      Serial.require(command, prepared.plan(), unit, List.of());
    }
    for (String person : who) {
      Serial.requirePrintable(command, "--appraisers", person);
    }
    return Study.drawn(
        name,
        reloads == null ? Study.By.APPRAISER : Study.By.RELOAD,
        blind,
        seed == null ? Instant.now().toEpochMilli() : seed,
        times,
        units,
        who,
        prepared.plan().product(),
        prepared.plan().revision(),
        prepared.digests());
  }

  private static void requireTwo(CommandLine command, String option, List<String> names) {
    if (names.size() < 2) {
      throw wrong(command, option + ": found " + names.size() + "; expected 2 or more");
    }
    if (new HashSet<>(names).size() < names.size() || names.stream().anyMatch(String::isBlank)) {
      throw wrong(
          command,
          option + ": found \"" + String.join(",", names) + "\"; expected each once, none empty");
    }
  }

  private static List<String> reloadNames(int reloads) {
    List<String> names = new ArrayList<>();
    for (int i = 1; i <= reloads; i++) {
      names.add("reload " + i);
    }
    return names;
  }

  private static ParameterException wrong(CommandLine command, String message) {
    return new ParameterException(command, message);
  }
}
