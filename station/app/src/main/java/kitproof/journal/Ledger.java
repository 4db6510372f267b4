package kitproof.journal;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * The order in which records were written, one line of JSON each, in {@code records/chain.jsonl}.
 *
 * <p>A line is on the disk before its document is: a document that a crash kept from being written
 * is written later with the same predecessor, and so with the same digest.
 */
public final class Ledger {
  private static final String FILE = "chain.jsonl";
  private static final String ASIDE = "set-aside";

  /**
   * A record's place.
   *
   * @param digest of its document
   * @param previous the record before it on its station, or null if it was the first
   */
  public record Line(
      String shop, String station, String run, String digest, @Nullable Link previous) {
    /** Whether both are records of one station. */
    public boolean sameStation(String otherShop, String otherStation) {
      return shop.equals(otherShop) && station.equals(otherStation);
    }
  }

  private Ledger() {}

  /** Where it is kept. */
  public static Path file(Path records) {
    return records.resolve(FILE);
  }

  /**
   * Every line that is whole, oldest first.
   *
   * @throws IOException if a line within is no line of a ledger; the message names it
   */
  public static List<Line> read(Path records) throws IOException {
    List<Line> lines = new ArrayList<>();
    String text = Files.readString(file(records));
    int from = 0;
    for (int end = text.indexOf('\n'); end >= 0; end = text.indexOf('\n', from)) {
      try {
        lines.add(EventCodec.parse(text.substring(from, end), Line.class));
      } catch (JsonProcessingException e) {
        throw new IOException(
            file(records) + ":" + (lines.size() + 1) + ": " + e.getOriginalMessage(), e);
      }
      from = end + 1;
    }
    return lines;
  }

  /** Moves a damaged one aside, for {@link #asideOf} to find. */
  static Path setAside(Path records) throws IOException {
    Path damaged = file(records);
    Path aside = records.resolve(ASIDE);
    Files.createDirectories(aside);
    String mark = Digests.of(damaged).replaceFirst("^sha256:(.{12}).*", "$1");
    Path kept = aside.resolve("chain-" + mark + ".jsonl");
    Files.move(damaged, kept, StandardCopyOption.REPLACE_EXISTING);
    return kept;
  }

  /** Damaged ledgers that were set aside. */
  public static List<Path> asideOf(Path records) throws IOException {
    if (!Files.isDirectory(records.resolve(ASIDE))) {
      return List.of();
    }
    try (Stream<Path> files = Files.list(records.resolve(ASIDE))) {
      return files
          .filter(file -> file.getFileName().toString().matches("chain-[0-9a-f]+\\.jsonl"))
          .sorted()
          .toList();
    }
  }

  /** Those lines of a damaged ledger that can still be read. */
  public static List<Line> readable(Path damaged) throws IOException {
    List<Line> lines = new ArrayList<>();
    String text = new String(Files.readAllBytes(damaged), StandardCharsets.UTF_8);
    for (String line : text.split("\n", -1)) {
      try {
        lines.add(EventCodec.parse(line, Line.class));
      } catch (JsonProcessingException e) {
        continue; // this is what it was set aside for
      }
    }
    return lines;
  }

  /** Appends lines, forced to disk; what was left of a line cut short is removed. */
  static void append(Path records, List<Line> lines) throws IOException {
    StringBuilder text = new StringBuilder();
    for (Line line : lines) {
      text.append(EventCodec.text(EventCodec.tree(line), false)).append('\n');
    }
    ByteBuffer bytes = ByteBuffer.wrap(text.toString().getBytes(StandardCharsets.UTF_8));
    try (FileChannel channel =
        FileChannel.open(
            file(records),
            StandardOpenOption.CREATE,
            StandardOpenOption.READ,
            StandardOpenOption.WRITE)) {
      long end = whole(channel);
      channel.truncate(end);
      int all = bytes.remaining();
      try {
        while (bytes.hasRemaining()) {
          channel.write(bytes, end + all - bytes.remaining());
        }
        channel.force(true);
      } catch (IOException e) {
        try {
          channel.truncate(end);
        } catch (IOException second) {
          e.addSuppressed(second);
        }
        throw e;
      }
    }
    Durable.forceFolder(records);
  }

  /** Where the last whole line ends. */
  private static long whole(FileChannel channel) throws IOException {
    ByteBuffer one = ByteBuffer.allocate(1);
    for (long end = channel.size(); end > 0; end--) {
      one.clear();
      if (channel.read(one, end - 1) == 1 && one.get(0) == '\n') {
        return end;
      }
    }
    return 0;
  }
}
