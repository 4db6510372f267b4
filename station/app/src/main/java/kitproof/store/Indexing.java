package kitproof.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;

/**
 * Brings the index of a folder up to its documents, one document at a time.
 *
 * @param taken documents read into the index
 * @param removed runs whose documents are gone
 * @param findings documents that could not be read; the others are in the index all the same
 */
public record Indexing(int taken, int removed, List<Finding> findings) {
  public Indexing {
    findings = List.copyOf(findings);
  }

  /** Told after each document how many of all have been looked at; says whether to go on. */
  @FunctionalInterface
  public interface Progress {
    boolean goOn(int looked, int of);
  }

  /**
   * Reads what is new or changed, and forgets what is gone.
   *
   * @throws IndexException if the index cannot be written
   * @throws IOException if the folder cannot be read
   */
  public static Indexing catchUp(Path records, Index index, Progress progress)
      throws IndexException, IOException {
    Map<String, Index.Stamp> known = new HashMap<>(); // by document
    Map<String, String> runs = new HashMap<>();
    index
        .stamps()
        .forEach(
            (run, stamp) -> {
              known.put(stamp.document(), stamp);
              runs.put(stamp.document(), run);
            });
    List<Finding> findings = new ArrayList<>();
    Portion portion = new Portion(index);
    int taken = 0;
    int looked = 0;
    List<Path> documents = Documents.in(records);
    for (Path document : documents) {
      String name = String.valueOf(document.getFileName());
      runs.remove(name);
      try {
        Index.Stamp stamp =
            new Index.Stamp(
                name, Files.size(document), Files.getLastModifiedTime(document).toMillis());
        if (!stamp.equals(known.get(name))) {
          RunRecord record = RecordDocument.read(document);
          portion.add(Taken.of(record, stamp));
          runs.values().remove(record.run()); // a document may have been renamed
          taken++;
        }
      } catch (NoSuchFileException e) {
        continue; // moved away meanwhile: the next time it is forgotten
      } catch (IOException e) {
        findings.add(new Finding(name, "it cannot be read: " + e.getMessage()));
      }
      if (!progress.goOn(++looked, documents.size())) {
        portion.put();
        return new Indexing(taken, 0, findings);
      }
    }
    portion.put();
    index.remove(runs.values());
    return new Indexing(taken, runs.size(), findings);
  }

  /** Records that go into the index in one transaction; never more than a few thousand rows. */
  private static final class Portion {
    private static final int ROWS = 5000;

    private final Index index;
    private final List<Taken> records = new ArrayList<>();
    private int rows;

    Portion(Index index) {
      this.index = index;
    }

    void add(Taken record) throws IndexException {
      records.add(record);
      rows += 1 + record.lines().size();
      if (rows >= ROWS) {
        put();
      }
    }

    void put() throws IndexException {
      if (!records.isEmpty()) {
        index.put(List.copyOf(records));
        records.clear();
        rows = 0;
      }
    }
  }

  /**
   * Makes the index beside a folder anew from the documents alone, whatever became of the old one.
   *
   * @throws IndexException if it cannot be written
   * @throws IOException if the folder cannot be read or the old one not be removed
   */
  public static Indexing rebuild(Path records, Progress progress)
      throws IndexException, IOException {
    return rebuild(records, IndexPlace.beside(records), progress);
  }

  /**
   * Makes the index of a folder anew from the documents alone. In one that stations share, nothing
   * of other folders is touched.
   *
   * @throws IndexException if it cannot be written
   * @throws IOException if the folder cannot be read or the old one not be removed
   */
  public static Indexing rebuild(Path records, IndexPlace place, Progress progress)
      throws IndexException, IOException {
    try (Index index = emptied(records, place)) {
      return catchUp(records, index, progress);
    }
  }

  private static Index emptied(Path records, IndexPlace place) throws IndexException, IOException {
    if (place instanceof SqlitePlace file && !usable(records, place)) {
      file.delete();
    }
    Index index = Index.open(records, place);
    try {
      index.clear();
      return index;
    } catch (IndexException e) {
      index.close();
      throw e;
    }
  }

  /** A file that is no database or a damaged one goes; one that is locked is another matter. */
  private static boolean usable(Path records, IndexPlace place) throws IndexException {
    try (Index index = Index.open(records, place)) {
      return index.isSound();
    } catch (IndexException e) {
      if (e.isLocked()) {
        throw e;
      }
      return false;
    }
  }
}
