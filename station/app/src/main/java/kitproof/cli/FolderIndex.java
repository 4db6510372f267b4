package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.batch.Batch;
import kitproof.batch.RecordFolder;
import kitproof.batch.RunSource;
import kitproof.batch.Series;
import kitproof.store.Finding;
import kitproof.store.Index;
import kitproof.store.IndexException;
import kitproof.store.IndexedBatch;
import kitproof.store.Indexing;
import picocli.CommandLine;

/**
 * The index beside a folder of records, where there is one, to ask of a batch without reading every
 * document. It is brought up to the documents first; where it cannot be used, that is told and the
 * documents are read.
 */
final class FolderIndex {
  private FolderIndex() {}

  /**
   * What a batch's statistics are made from.
   *
   * @param unreadable documents that could not be read, with the reason
   */
  record Told(Batch batch, List<Series> series, List<String> unreadable) {
    Told {
      series = List.copyOf(series);
      unreadable = List.copyOf(unreadable);
    }
  }

  /** Something that is asked of an index. */
  private interface Question<T> {
    T of(Index index, List<String> unreadable) throws IndexException, IOException;
  }

  /** A batch as the index has it; empty if there is no index, or no such batch in it. */
  static Optional<Told> batch(CommandLine command, Path records, String name) {
    return asked(
            command,
            records,
            (index, unreadable) -> {
              IndexedBatch found = index.batch(name);
              return new Told(
                  Batch.of(name, found.runs()), IndexedSeries.of(found), List.copyOf(unreadable));
            })
        .filter(told -> !told.batch().units().isEmpty());
  }

  /** The batch's documents, curves and all, read by their names; empty likewise. */
  static Optional<RunSource.Found> runs(CommandLine command, Path records, String name) {
    return asked(
            command,
            records,
            (index, unreadable) -> {
              RunSource.Found found = new RecordFolder(records).runs(index.documents(name));
              unreadable.addAll(found.unreadable());
              return new RunSource.Found(found.runs(), unreadable);
            })
        .filter(found -> !found.runs().isEmpty());
  }

  private static <T> Optional<T> asked(CommandLine command, Path records, Question<T> question) {
    if (!Files.exists(Index.file(records))) {
      return Optional.empty();
    }
    try (Index index = Index.open(records)) {
      List<String> unreadable = new ArrayList<>();
      for (Finding finding : Indexing.catchUp(records, index, (looked, of) -> true).findings()) {
        unreadable.add(records.resolve(finding.record()) + ": " + finding.words());
      }
      return Optional.of(question.of(index, unreadable));
    } catch (IndexException | IOException e) {
      command.getErr().println("note: the documents are read one by one, as " + e.getMessage());
      command.getErr().flush();
      return Optional.empty();
    }
  }
}
