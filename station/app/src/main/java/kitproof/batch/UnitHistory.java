package kitproof.batch;

import java.util.List;
import java.util.Optional;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;

/**
 * The runs of one unit within a batch.
 *
 * <p>Attempts are numbered within the batch; {@link Verdict#isAttempt} says which runs are some.
 *
 * @param serial the unit's serial number
 * @param runs by rising start, one or more
 */
public record UnitHistory(String serial, List<RunRecord> runs) {
  public UnitHistory {
    runs = List.copyOf(runs);
  }

  /** The runs that tell of the unit, by rising start. */
  public List<RunRecord> attempts() {
    return runs.stream().filter(UnitHistory::tells).toList();
  }

  private static boolean tells(RunRecord run) {
    return run.verdict() != null && run.verdict().isAttempt();
  }

  /** The first attempt, if there was any. */
  public Optional<RunRecord> first() {
    return attempts().stream().findFirst();
  }

  /** The last attempt, if there was any. */
  public Optional<RunRecord> last() {
    List<RunRecord> attempts = attempts();
    return attempts.isEmpty() ? Optional.empty() : Optional.of(attempts.get(attempts.size() - 1));
  }

  /** Whether its last attempt passed. */
  public boolean isGood() {
    return last().filter(run -> run.verdict() == Verdict.PASS).isPresent();
  }
}
