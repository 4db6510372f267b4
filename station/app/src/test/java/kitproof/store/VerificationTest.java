package kitproof.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.journal.KeptRuns;
import kitproof.journal.Ledger;
import kitproof.journal.RecordStore;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class VerificationTest {
  @TempDir Path folder;
  private RecordStore store;

  @BeforeEach
  void keepThree() throws IOException {
    store = new RecordStore(folder);
    for (String run : List.of("a", "b", "c")) {
      KeptRuns.keep(store, run, "bench-1", "LN12-001");
    }
  }

  private Verification verify() throws IOException {
    return Verification.of(folder, looked -> {});
  }

  private List<String> findings() throws IOException {
    return verify().findings().stream().map(Finding::toString).toList();
  }

  private Path document(String run) {
    return folder.resolve(run + ".json");
  }

  private void replace(Path file, String from, String to) throws IOException {
    String text = Files.readString(file);
    assertThat(text).contains(from);
    Files.writeString(file, text.replace(from, to));
  }

  @Test
  void recordsAsTheyWereWrittenHaveNoFindings() throws IOException {
    KeptRuns.keep(store, "x", "bench-2", "LN12-001");
    Verification found = verify();
    assertThat(found.findings()).isEmpty();
    assertThat(found.records()).isEqualTo(4);
    assertThat(found.chained()).isEqualTo(4);
  }

  @Test
  void oneByteIsEnoughToNameARecord() throws IOException {
    for (String run : List.of("a", "b", "c")) {
      byte[] before = Files.readAllBytes(document(run));
      replace(document(run), "331.2", "331.3");
      assertThat(findings())
          .as(run)
          .containsExactly("record " + run + ": it was altered after it was written");
      Files.write(document(run), before);
    }
    assertThat(findings()).isEmpty();
  }

  @Test
  void aMissingRecordIsNamed() throws IOException {
    for (String run : List.of("a", "b", "c")) {
      byte[] before = Files.readAllBytes(document(run));
      Files.delete(document(run));
      assertThat(findings()).as(run).containsExactly("record " + run + ": it is missing");
      Files.write(document(run), before);
    }
  }

  @Test
  void recordsThatChangedPlacesAreNamed() throws IOException {
    Path aside = folder.resolve("aside");
    Files.move(document("a"), aside);
    Files.move(document("b"), document("a"));
    Files.move(aside, document("b"));
    assertThat(findings())
        .containsExactly(
            "record a.json: it holds run b: renamed, or put in another one's place",
            "record b.json: it holds run a: renamed, or put in another one's place");
  }

  @Test
  void aLedgerInAnotherOrderIsNamed() throws IOException {
    List<String> lines = Files.readAllLines(Ledger.file(folder));
    Files.write(Ledger.file(folder), List.of(lines.get(0), lines.get(2), lines.get(1)));
    assertThat(findings())
        .hasSize(2)
        .allMatch(f -> f.contains("reordered, or a line is missing"))
        .anyMatch(f -> f.startsWith("record c"))
        .anyMatch(f -> f.startsWith("record b"));
  }

  @Test
  void aRecordFromElsewhereIsNamed() throws IOException {
    Path other = folder.resolve("other");
    Path forged = KeptRuns.keep(new RecordStore(other), "d", "bench-1", "LN12-001");
    Files.copy(forged, document("d"));
    assertThat(findings())
        .containsExactly("record d: the ledger does not have it: put in from elsewhere");
  }

  @Test
  void withoutTheLedgerTheRecordsStillProveOneAnother() throws IOException {
    replace(document("b"), "331.2", "331.3");
    Files.delete(Ledger.file(folder));
    assertThat(findings())
        .containsExactlyInAnyOrder(
            "record chain: its ledger is missing", "record b: it was altered after it was written");
  }

  @Test
  void aLedgerThatWasDamagedAndMadeAnewHidesNoMissingRecord() throws IOException {
    List<String> lines = Files.readAllLines(Ledger.file(folder));
    Files.delete(document("c")); // no other record names it
    Files.write(Ledger.file(folder), List.of("no line", lines.get(1), lines.get(2)));
    KeptRuns.keep(store, "d", "bench-1", "LN12-001");
    assertThat(Files.readString(Ledger.file(folder))).doesNotContain("\"run\":\"c\"");
    Verification found = verify();
    assertThat(found.findings())
        .extracting(Finding::toString)
        .containsExactly("record c: it is missing");
    assertThat(found.notes())
        .singleElement()
        .asString()
        .contains("damaged once and made anew", "the 2 lines that can still be read of ");
  }

  @Test
  void twoThatFollowOneAreNamed() throws IOException {
    Path twin = document("c2");
    Files.writeString(
        twin, Files.readString(document("c")).replace("\"run\":\"c\"", "\"run\":\"c2\""));
    assertThat(findings()).contains("record c2: it says that it follows b, and so does c");
  }

  @Test
  void aTruncatedDocumentIsNamed() throws IOException {
    byte[] whole = Files.readAllBytes(document("b"));
    for (int length : new int[] {0, 1, 100, whole.length / 2, whole.length - 2}) {
      Files.write(document("b"), java.util.Arrays.copyOf(whole, length));
      assertThat(findings()).as("cut to %d", length).isNotEmpty().allMatch(f -> f.contains(" b"));
    }
  }

  @Test
  void olderRecordsWithoutAChainAreNoFindingUnlessTheyAreCutShort() throws IOException {
    Path old = folder.resolve("0.json");
    String text =
        Files.readString(document("a"))
            .replace("\"previous\":null,", "")
            .replace("\"run\":\"a\"", "\"run\":\"0\"")
            .replace("2026-11-25", "2025-11-25");
    Files.writeString(old, text);
    Verification found = verify();
    assertThat(found.findings()).isEmpty();
    assertThat(found.records()).isEqualTo(4);
    assertThat(found.chained()).isEqualTo(3);
    Files.writeString(old, text.substring(0, text.length() - 20));
    assertThat(findings())
        .singleElement()
        .asString()
        .startsWith("record 0.json: it cannot be read");
  }

  @Test
  void aYoungRecordWithoutItsLinkIsNamed() throws IOException {
    String text = Files.readString(document("a")).replace("\"previous\":null,", "");
    Files.writeString(
        folder.resolve("z.json"),
        text.replace("\"run\":\"a\"", "\"run\":\"z\"").replace("2026-11-25", "2026-12-25"));
    assertThat(findings())
        .containsExactly(
            "record z: it carries no digest of the one before it, as its station's others do");
  }
}
