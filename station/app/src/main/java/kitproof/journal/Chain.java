package kitproof.journal;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Gives each record its predecessor: the one that was written before it on its station.
 *
 * <p>Writers of one folder take turns, in this and in other processes; a turn lasts as long as it
 * takes to write one document.
 */
final class Chain {
  private static final Object TURN = new Object();
  private static final String LOCK = "chain.lock";

  /** A document's text once its predecessor is known. */
  interface Document {
    String text(@Nullable Link previous);
  }

  private Chain() {}

  /**
   * Writes one document, linked and forced to disk, and the ledger's line before it.
   *
   * @param file where to
   * @param told hears of a ledger that had to be made anew
   * @throws IOException if either could not be made durable; the document is then not there
   */
  static void write(
      Path records, RunRecord record, Path file, Document document, Consumer<String> told)
      throws IOException {
    synchronized (TURN) {
      try (FileChannel channel =
              FileChannel.open(
                  records.resolve(LOCK), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
          FileLock turn = channel.lock()) {
        List<Ledger.Line> lines = lines(records, told);
        Ledger.Line own = line(lines, record);
        Link previous = own == null ? last(lines, record) : own.previous();
        String text = document.text(previous);
        if (own == null) {
          Ledger.append(
              records,
              List.of(
                  new Ledger.Line(
                      record.shop(), record.station(), record.run(), Digests.of(text), previous)));
        }
        Durable.replace(file, text, true);
      }
    }
  }

  private static Ledger.@Nullable Line line(List<Ledger.Line> lines, RunRecord record) {
    for (Ledger.Line line : lines) {
      if (line.run().equals(record.run()) && line.sameStation(record.shop(), record.station())) {
        return line;
      }
    }
    return null;
  }

  private static @Nullable Link last(List<Ledger.Line> lines, RunRecord record) {
    for (int i = lines.size() - 1; i >= 0; i--) {
      Ledger.Line line = lines.get(i);
      if (line.sameStation(record.shop(), record.station())) {
        return new Link(line.run(), line.digest());
      }
    }
    return null;
  }

  private static List<Ledger.Line> lines(Path records, Consumer<String> told) throws IOException {
    String why = "was missing";
    if (Files.exists(Ledger.file(records))) {
      try {
        return Ledger.read(records);
      } catch (IOException e) { // a run must not fail for it; the documents tell the order as well
        why = "was damaged (" + e.getMessage() + ") and is kept as " + Ledger.setAside(records);
      }
    }
    List<Ledger.Line> found = fromDocuments(records);
    Ledger.append(records, found);
    if (!found.isEmpty()) { // else it is the first record of all
      told.accept(
          "the ledger of records "
              + why
              + "; it was made anew from the "
              + found.size()
              + " records that are there: \"kitproof store verify\" compares");
    }
    return found;
  }

  /** The ledger as the documents that are there tell it, each after the one it names. */
  private static List<Ledger.Line> fromDocuments(Path records) throws IOException {
    List<Ledger.Line> open = new ArrayList<>();
    try (Stream<Path> files = Files.list(records)) {
      for (Path file : files.filter(f -> f.toString().endsWith(".json")).sorted().toList()) {
        RecordHead head;
        try {
          head = RecordHead.read(file);
        } catch (IOException e) {
          continue; // what cannot be read is told by whoever verifies the chain
        }
        if (head.chained()) {
          open.add(
              new Ledger.Line(
                  head.shop(), head.station(), head.run(), Digests.of(file), head.previous()));
        }
      }
    }
    return ordered(open);
  }

  private static List<Ledger.Line> ordered(List<Ledger.Line> open) {
    Set<String> there = new HashSet<>();
    open.forEach(line -> there.add(line.run()));
    List<Ledger.Line> ordered = new ArrayList<>();
    Set<String> placed = new HashSet<>();
    while (ordered.size() < open.size()) {
      int before = ordered.size();
      for (Ledger.Line line : open) {
        Link previous = line.previous();
        boolean ready =
            previous == null || placed.contains(previous.run()) || !there.contains(previous.run());
        if (ready && placed.add(line.run())) {
          ordered.add(line);
        }
      }
      if (ordered.size() == before) {
        break; // they name one another in a circle: verifying tells it
      }
    }
    return ordered;
  }
}
