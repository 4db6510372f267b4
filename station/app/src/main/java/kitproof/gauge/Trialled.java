package kitproof.gauge;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;

/**
 * A run that counts in a study: one that came to its end, whatever it found.
 *
 * @param appraiser who or what measured
 * @param repeat which one by this appraiser of this unit, from 1
 */
public record Trialled(String appraiser, int repeat, RunRecord run) {

  /** The trials among the runs of a study's folder, by number; of two of a number the later. */
  public static List<Trialled> of(Study study, List<RunRecord> runs) {
    Map<Integer, Trialled> done = new HashMap<>();
    for (RunRecord run : byTime(runs)) {
      Event.GaugeTrial mark = run.gaugeTrial().orElse(null);
      if (mark != null && mark.study().equals(study.name()) && cameToItsEnd(run)) {
        done.put(mark.number(), new Trialled(mark.appraiser(), mark.repeat(), run));
      }
    }
    return done.entrySet().stream()
        .sorted(Map.Entry.comparingByKey())
        .map(Map.Entry::getValue)
        .toList();
  }

  /**
   * Ordinary runs as a study: every run of a unit at a station, or on a day, is a repeat.
   *
   * @param by {@link Study.By#STATION} or {@link Study.By#DAY}
   * @param zone whose days
   */
  public static List<Trialled> of(List<RunRecord> runs, Study.By by, ZoneId zone) {
    Map<List<String>, Integer> count = new HashMap<>();
    List<Trialled> trials = new ArrayList<>();
    for (RunRecord run : byTime(runs)) {
      if (cameToItsEnd(run)) {
        String appraiser =
            by == Study.By.STATION
                ? run.station()
                : run.started().atZone(zone).toLocalDate().toString();
        int repeat = count.merge(List.of(appraiser, run.unit()), 1, Integer::sum);
        trials.add(new Trialled(appraiser, repeat, run));
      }
    }
    return trials;
  }

  /** The numbers of the study's trials that these are. */
  public static Set<Integer> numbers(List<Trialled> done) {
    Set<Integer> numbers = new HashSet<>();
    done.forEach(trial -> trial.run().gaugeTrial().ifPresent(mark -> numbers.add(mark.number())));
    return numbers;
  }

  private static List<RunRecord> byTime(List<RunRecord> runs) {
    return runs.stream()
        .sorted(Comparator.comparing(RunRecord::started).thenComparing(RunRecord::run))
        .toList();
  }

  private static boolean cameToItsEnd(RunRecord run) {
    return run.verdict() == Verdict.PASS || run.verdict() == Verdict.FAIL;
  }
}
