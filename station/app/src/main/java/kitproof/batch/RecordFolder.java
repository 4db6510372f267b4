package kitproof.batch;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.stream.Stream;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordHead;
import kitproof.journal.RunRecord;

/** The runs in a folder of records, read anew each time; a run that has not ended has no record. */
public final class RecordFolder implements RunSource {
  private final Path folder;

  public RecordFolder(Path folder) {
    this.folder = folder;
  }

  @Override
  public Found runs(String batch) throws IOException {
    return found(head -> head.batch().equals(batch));
  }

  @Override
  public Found runs() throws IOException {
    return found(head -> true);
  }

  /**
   * Every ended run of these units, whatever batch it was in.
   *
   * @param units serial numbers
   * @throws IOException if nothing can be read at all
   */
  public Found ofUnits(Set<String> units) throws IOException {
    return found(head -> units.contains(head.unit()));
  }

  /**
   * The runs of these documents and no others.
   *
   * @param documents file names in the folder
   */
  public Found runs(Collection<String> documents) {
    return found(documents.stream().map(folder::resolve).toList(), head -> true);
  }

  private Found found(Predicate<RecordHead> wanted) throws IOException {
    return found(documents(), wanted);
  }

  /** Of a document that is not wanted only the head is read. */
  private static Found found(List<Path> documents, Predicate<RecordHead> wanted) {
    List<RunRecord> runs = new ArrayList<>();
    List<String> unreadable = new ArrayList<>();
    for (Path document : documents) {
      try {
        if (wanted.test(RecordHead.read(document))) {
          runs.add(RecordDocument.read(document));
        }
      } catch (IOException e) {
        unreadable.add(String.valueOf(e.getMessage()));
      }
    }
    runs.sort(Comparator.comparing(RunRecord::started).thenComparing(RunRecord::run));
    return new Found(runs, unreadable);
  }

  @Override
  public SortedSet<String> batches() throws IOException {
    SortedSet<String> names = new TreeSet<>();
    for (Path document : documents()) {
      try {
        names.add(RecordHead.read(document).batch());
      } catch (IOException e) {
        continue; // told where its runs are asked for
      }
    }
    names.remove("");
    return names;
  }

  private List<Path> documents() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.filter(f -> f.getFileName().toString().endsWith(".json")).sorted().toList();
    }
  }
}
