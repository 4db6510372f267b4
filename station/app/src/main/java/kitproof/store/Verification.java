package kitproof.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.function.IntConsumer;
import kitproof.event.Event;
import kitproof.journal.CaptureFolder;
import kitproof.journal.Digests;
import kitproof.journal.Ledger;
import kitproof.journal.Link;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordHead;
import kitproof.journal.RunRecord;
import kitproof.journal.SafeName;

/**
 * Whether every record is as it was written, in the order in which it was written.
 *
 * <p>Each record carries the digest of the one before it on its station, and the ledger has them
 * all: a document that was altered, is missing, was renamed or put in from elsewhere disagrees with
 * one of the two. There is no secret in it: whoever rewrites a record, every later one and the
 * ledger is found only by a digest kept elsewhere, such as the one on a certificate.
 *
 * @param records how many documents were looked at
 * @param chained how many of them have a place in a chain; older ones have none
 * @param findings empty if all is well
 * @param notes what is no fault of a record, but should be known
 */
public record Verification(int records, int chained, List<Finding> findings, List<String> notes) {
  public Verification {
    findings = List.copyOf(findings);
    notes = List.copyOf(notes);
  }

  /** A document as it is now. */
  private record Found(RecordHead head, String digest) {}

  /**
   * Looks at every document of a folder; changes nothing.
   *
   * @param progress told how many have been looked at
   * @throws IOException if the folder cannot be read
   */
  public static Verification of(Path records, IntConsumer progress) throws IOException {
    Pass pass = new Pass();
    // A station may write while we look: what is in the ledger by now must have its document in the
    // end, and a document that is found must be in the ledger by the end.
    List<Ledger.Line> before = pass.lines(records);
    int looked = 0;
    for (Path document : Documents.in(records)) {
      pass.look(document);
      progress.accept(++looked);
    }
    pass.compare(before, records);
    List<String> notes = pass.setAside(records);
    pass.places(pass.lines(records), Files.exists(Ledger.file(records)));
    pass.links();
    int chained = (int) pass.found.values().stream().filter(f -> f.head.chained()).count();
    return new Verification(looked, chained, List.copyOf(pass.findings), notes);
  }

  /** One verification, with what it has seen so far; a few words for each document. */
  private static final class Pass {
    final Map<String, Found> found = new LinkedHashMap<>();
    final Set<Finding> findings = new LinkedHashSet<>();

    void add(String record, String words) {
      findings.add(new Finding(record, words));
    }

    void look(Path document) {
      String name = String.valueOf(document.getFileName());
      try {
        RecordHead head = RecordHead.read(document);
        if (!name.equals(SafeName.ofFile(head.run()) + ".json")) {
          add(name, "it holds run " + head.run() + ": renamed, or put in another one's place");
        }
        if (!head.chained() || Documents.hasCaptures(document)) {
          // nothing else would tell that one without a place in a chain is cut short
          captures(document, RecordDocument.read(document));
        }
        if (found.putIfAbsent(head.run(), new Found(head, Digests.of(document))) != null) {
          add(head.run(), "it is there twice");
        }
      } catch (IOException e) {
        add(name, "it cannot be read: " + e.getMessage());
      }
    }

    /** The captures that a record names are part of it. */
    private void captures(Path document, RunRecord record) throws IOException {
      Path records = document.resolveSibling("");
      for (Event.CaptureKept kept : CaptureFolder.of(record)) {
        String trouble = CaptureFolder.trouble(records, kept);
        if (!trouble.isEmpty()) {
          add(record.run(), "its capture " + kept.file() + ": " + trouble);
        }
      }
    }

    List<Ledger.Line> lines(Path records) {
      if (!Files.exists(Ledger.file(records))) {
        return List.of();
      }
      try {
        return Ledger.read(records);
      } catch (IOException e) {
        add("chain", "its ledger cannot be read: " + e.getMessage());
        return List.of();
      }
    }

    void compare(List<Ledger.Line> lines, Path records) {
      for (Ledger.Line line : lines) {
        Path document = records.resolve(SafeName.ofFile(line.run()) + ".json");
        if (!found.containsKey(line.run()) && Files.exists(document)) {
          look(document); // it was about to be written
          if (!found.containsKey(line.run())) {
            continue; // there, but not to be read: told already
          }
        }
        compare(line.run(), line.digest());
      }
    }

    /** A ledger that was damaged had records of which the one made anew need not know. */
    List<String> setAside(Path records) throws IOException {
      List<String> notes = new ArrayList<>();
      for (Path damaged : Ledger.asideOf(records)) {
        List<Ledger.Line> lines = Ledger.readable(damaged);
        compare(lines, records);
        notes.add(
            "the ledger was damaged once and made anew from the documents that were there; the "
                + lines.size()
                + " lines that can still be read of "
                + damaged
                + " were compared too");
      }
      return notes;
    }

    void places(List<Ledger.Line> lines, boolean there) {
      Map<String, Link> last = new HashMap<>();
      Set<String> listed = new LinkedHashSet<>();
      for (Ledger.Line line : lines) {
        String station = line.shop() + "\n" + line.station();
        Link before = last.put(station, new Link(line.run(), line.digest()));
        if (!Objects.equals(before, line.previous())) {
          add(
              line.run(),
              "in the ledger it does not stand after the one it was written after: reordered, or a"
                  + " line is missing");
        }
        listed.add(line.run());
      }
      List<Found> strangers =
          found.values().stream()
              .filter(one -> one.head.chained() && !listed.contains(one.head.run()))
              .toList();
      if (lines.isEmpty() && !strangers.isEmpty()) {
        add("chain", there ? "its ledger is empty" : "its ledger is missing");
        return;
      }
      for (Found stranger : strangers) {
        add(stranger.head.run(), "the ledger does not have it: put in from elsewhere");
      }
    }

    private void compare(String run, String digest) {
      Found now = found.get(run);
      if (now == null) {
        add(run, "it is missing");
      } else if (!now.digest.equals(digest)) {
        add(run, "it was altered after it was written");
      }
    }

    /** What the records say of one another, whatever the ledger says. */
    void links() {
      Map<String, String> followers = new HashMap<>();
      Map<String, Instant> began = new HashMap<>();
      for (Found one : found.values()) {
        Link previous = one.head.previous();
        if (one.head.chained()) {
          began.merge(station(one), one.head.started(), (a, b) -> a.isBefore(b) ? a : b);
        }
        if (previous == null) {
          continue;
        }
        compare(previous.run(), previous.digest());
        String other = followers.put(previous.run(), one.head.run());
        if (other != null) {
          add(
              one.head.run(),
              "it says that it follows " + previous.run() + ", and so does " + other);
        }
      }
      for (Found one : found.values()) {
        Instant first = began.get(station(one));
        if (!one.head.chained() && first != null && one.head.started().isAfter(first)) {
          add(
              one.head.run(),
              "it carries no digest of the one before it, as its station's others do");
        }
      }
    }

    private static String station(Found one) {
      return one.head.shop() + "\n" + one.head.station();
    }
  }
}
