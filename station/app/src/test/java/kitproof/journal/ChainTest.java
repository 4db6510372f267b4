package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ChainTest {
  @TempDir Path folder;
  private final List<String> told = new ArrayList<>();
  private RecordStore store;

  @BeforeEach
  void open() throws IOException {
    store = new RecordStore(folder, told::add);
  }

  private Path keep(String run, String station) throws IOException {
    return KeptRuns.keep(store, run, station, "LN12-001");
  }

  /** With the JDK's own digest, on the bytes as they are on the disk. */
  private static String digest(Path file) throws Exception {
    return "sha256:"
        + HexFormat.of()
            .formatHex(MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(file)));
  }

  @Test
  void eachRecordCarriesTheDigestOfTheOneBeforeIt() throws Exception {
    Path a = keep("a", "bench-1");
    Path b = keep("b", "bench-1");
    Path c = keep("c", "bench-1");
    assertThat(RecordHead.read(a).chained()).isTrue();
    assertThat(RecordHead.read(a).previous()).isNull();
    assertThat(RecordHead.read(b).previous()).isEqualTo(new Link("a", digest(a)));
    assertThat(RecordHead.read(c).previous()).isEqualTo(new Link("b", digest(b)));
    assertThat(RecordDocument.read(c).run()).isEqualTo("c");
  }

  @Test
  void eachStationHasItsOwnChain() throws Exception {
    Path a = keep("a", "bench-1");
    Path x = keep("x", "bench-2");
    Path b = keep("b", "bench-1");
    assertThat(RecordHead.read(x).previous()).isNull();
    assertThat(RecordHead.read(b).previous()).isEqualTo(new Link("a", digest(a)));
  }

  @Test
  void aDocumentThatWasLostIsWrittenAgainAsItWas() throws Exception {
    keep("a", "bench-1");
    Path b = keep("b", "bench-1");
    byte[] before = Files.readAllBytes(b);
    keep("c", "bench-1");
    Files.delete(b);
    assertThat(Recovery.run(store, () -> java.time.Instant.EPOCH)).hasSize(1);
    assertThat(b).hasBinaryContent(before);
    assertThat(Ledger.read(folder)).hasSize(3);
  }

  @Test
  void aLineOfTheLedgerThatWasCutShortIsRemoved() throws Exception {
    Path a = keep("a", "bench-1");
    Files.writeString(Ledger.file(folder), "{\"shop\":\"attic\",\"stat", StandardOpenOption.APPEND);
    Path b = keep("b", "bench-1");
    assertThat(RecordHead.read(b).previous()).isEqualTo(new Link("a", digest(a)));
    assertThat(Ledger.read(folder)).extracting(Ledger.Line::run).containsExactly("a", "b");
  }

  @Test
  void aLedgerThatIsGoneOrDamagedIsMadeAnewFromTheDocuments() throws Exception {
    keep("b", "bench-1"); // written before "a": the order is that of writing, not of names
    Path a = keep("a", "bench-1");
    Files.delete(Ledger.file(folder));
    Path c = keep("c", "bench-1");
    assertThat(RecordHead.read(c).previous()).isEqualTo(new Link("a", digest(a)));
    Files.writeString(Ledger.file(folder), "no ledger\n");
    Path d = keep("d", "bench-1");
    assertThat(RecordHead.read(d).previous()).isEqualTo(new Link("c", digest(c)));
    assertThat(Ledger.read(folder))
        .extracting(Ledger.Line::run)
        .containsExactly("b", "a", "c", "d");
    assertThat(folder.resolve("set-aside")).isDirectoryContaining("glob:**chain-*.jsonl");
    assertThat(told).hasSize(2);
    assertThat(told.get(0))
        .isEqualTo(
            "the ledger of records was missing; it was made anew from the 2 records that are there:"
                + " \"kitproof store verify\" compares");
    assertThat(told.get(1))
        .contains("was damaged (", "chain.jsonl:1: ", "is kept as ", "from the 3 records");
  }

  @Test
  void documentsFromBeforeThereWasAChainAreReadAndLeftAlone() throws Exception {
    Path old = keep("old", "bench-1");
    String text = Files.readString(old).replace("\"previous\":null,", "");
    Files.writeString(old, text);
    Files.delete(Ledger.file(folder));
    Path a = keep("a", "bench-1");
    assertThat(RecordHead.read(old).chained()).isFalse();
    assertThat(RecordDocument.read(old).run()).isEqualTo("old");
    assertThat(RecordHead.read(a).chained()).isTrue();
    assertThat(RecordHead.read(a).previous()).isNull();
    assertThat(Files.readString(old, StandardCharsets.UTF_8)).isEqualTo(text);
  }

  @Test
  void writersTakeTurns() throws Exception {
    Set<String> predecessors = ConcurrentHashMap.newKeySet();
    List<Thread> threads =
        IntStream.range(0, 8)
            .mapToObj(
                i ->
                    new Thread(
                        () -> {
                          try {
                            Link previous = RecordHead.read(keep("run" + i, "bench-1")).previous();
                            predecessors.add(previous == null ? "none" : previous.run());
                          } catch (IOException e) {
                            predecessors.add("failed: " + e);
                          }
                        }))
            .collect(Collectors.toList());
    threads.forEach(Thread::start);
    for (Thread thread : threads) {
      thread.join();
    }
    assertThat(predecessors).hasSize(8).contains("none").noneMatch(p -> p.startsWith("failed"));
  }
}
