package kitproof.batch;

import java.io.IOException;
import java.util.List;
import java.util.SortedSet;
import kitproof.journal.RunRecord;

/** Where ended runs are found by their batch: today the folder of records. */
public interface RunSource {
  /**
   * The runs of a batch.
   *
   * @param runs by rising start
   * @param unreadable what could not be read, with the reason; these runs are not among the others
   */
  record Found(List<RunRecord> runs, List<String> unreadable) {
    public Found {
      runs = List.copyOf(runs);
      unreadable = List.copyOf(unreadable);
    }
  }

  /**
   * Every ended run of this batch.
   *
   * @throws IOException if nothing can be read at all
   */
  Found runs(String batch) throws IOException;

  /**
   * Every ended run.
   *
   * @throws IOException if nothing can be read at all
   */
  Found runs() throws IOException;

  /**
   * The names of the batches there are.
   *
   * @throws IOException if nothing can be read at all
   */
  SortedSet<String> batches() throws IOException;
}
