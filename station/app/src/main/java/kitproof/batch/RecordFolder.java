package kitproof.batch;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.function.Predicate;
import java.util.stream.Stream;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;

/** The runs in a folder of records, read anew each time; a run that has not ended has no record. */
public final class RecordFolder implements RunSource {
  private final Path folder;

  public RecordFolder(Path folder) {
    this.folder = folder;
  }

  @Override
  public Found runs(String batch) throws IOException {
    return found(record -> record.batch().equals(batch));
  }

  @Override
  public Found runs() throws IOException {
    return found(record -> true);
  }

  private Found found(Predicate<RunRecord> wanted) throws IOException {
    List<RunRecord> runs = new ArrayList<>();
    List<String> unreadable = new ArrayList<>();
    each(
        record -> {
          if (wanted.test(record)) {
            runs.add(record);
          }
        },
        unreadable::add);
    runs.sort(Comparator.comparing(RunRecord::started).thenComparing(RunRecord::run));
    return new Found(runs, unreadable);
  }

  @Override
  public SortedSet<String> batches() throws IOException {
    SortedSet<String> names = new TreeSet<>();
    each(record -> names.add(record.batch()), trouble -> {});
    names.remove("");
    return names;
  }

  private void each(Consumer<RunRecord> good, Consumer<String> bad) throws IOException {
    List<Path> documents;
    try (Stream<Path> files = Files.list(folder)) {
      documents = files.filter(f -> f.getFileName().toString().endsWith(".json")).sorted().toList();
    }
    for (Path document : documents) {
      try {
        good.accept(RecordDocument.read(document));
      } catch (IOException e) {
        bad.accept(String.valueOf(e.getMessage()));
      }
    }
  }
}
