package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Locale;
import kitproof.event.Verdict;
import kitproof.journal.Fixture;
import kitproof.journal.KeptRuns;
import kitproof.journal.RecordStore;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ReportTest {
  @TempDir Path folder;
  private Path records;
  private Path out;

  @BeforeEach
  void keepTwoRuns() throws IOException {
    records = folder.resolve("records");
    out = folder.resolve("out");
    RecordStore store = new RecordStore(records);
    keep(store, Fixture.RUN, "2026-11-25T10:15:00Z", Verdict.FAIL);
    keep(store, "20261126T090000.000Z-LN12-001", "2026-11-26T09:00:00Z", Verdict.PASS);
  }

  private static void keep(RecordStore store, String run, String time, Verdict verdict)
      throws IOException {
    KeptRuns.keep(store, run, "bench-1", "LN12-001", Instant.parse(time), verdict);
  }

  private Cli report(Object... more) {
    Object[] all = new Object[7 + more.length];
    Object[] usual = {"report", "--records", records, "--out", out, "--unit", "LN12-001"};
    System.arraycopy(usual, 0, all, 0, usual.length);
    System.arraycopy(more, 0, all, usual.length, more.length);
    return Cli.run(all);
  }

  @Test
  void theLastRecordOfTheUnitIsTaken() throws IOException {
    Cli cli = report("--maker", Cli.example("maker.yaml"));
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out())
        .contains("Certificate of test of run 20261126T090000.000Z-LN12-001")
        .contains(out.resolve("LN12-001.html").toString())
        .contains(out.resolve("LN12-001.pdf").toString());
    assertThat(Files.readString(out.resolve("LN12-001.html")))
        .contains("Linnet Valve Workshop", "26 November 2026", "data:image/png;base64,")
        .contains(Digest.of(records.resolve("20261126T090000.000Z-LN12-001.json")));
    assertThat(Files.readAllBytes(out.resolve("LN12-001.pdf"))).startsWith('%', 'P', 'D', 'F');
  }

  @Test
  void anotherRunCanBeNamed() {
    Cli cli = report("--run", Fixture.RUN, "--paper", "letter");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out()).contains("Test report of run " + Fixture.RUN);
  }

  @Test
  void aRecordThatCannotBeReadIsLeftOutAloud() throws IOException {
    Files.writeString(records.resolve("20261127T090000.000Z-LN12-001.json"), "{\"schema\":1,");
    Cli cli = report();
    assertThat(cli.code()).isZero();
    assertThat(cli.err()).contains("note: left out: ").contains("20261127T090000");
    assertThat(cli.out()).contains("20261126T090000");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "--unit|LN12-002|found no record of \"LN12-002\"|did you mean \"LN12-001\"?",
        "--run|20261126T090000.000Z-LN12-002|expected one of |did you mean \"20261126T090000",
        "--records|nowhere|found no folder nowhere|expected a folder of records",
        "--paper|A5|A5|A4, Letter",
      })
  void whatIsNotThereIsTold(String option, String value, String found, String expected) {
    Cli cli =
        switch (option) {
          case "--unit" -> Cli.run("report", "--records", records, "--out", out, option, value);
          case "--records" -> Cli.run("report", option, value, "--out", out, "--unit", "LN12-001");
          default -> report(option, value);
        };
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err().toLowerCase(Locale.ROOT))
        .contains(found.toLowerCase(Locale.ROOT), expected.toLowerCase(Locale.ROOT));
    assertThat(out).doesNotExist();
  }

  @ParameterizedTest
  @CsvSource({"--workshop,causes.yaml", "--maker,maker.yaml", "--paper,a4", "--out,elsewhere"})
  void budgetsGoWithNothingOfAReport(String option, String value) {
    Cli cli =
        Cli.run(
            "report", "--records", records, "--unit", "LN12-001", "--uncertainty", option, value);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err())
        .contains(
            "found --uncertainty with "
                + option
                + "; it prints budgets and writes no report; expected one of them");
  }

  @Test
  void aResultAloneIsNamedOfBudgetsOnly() {
    Cli cli = report("--result", "gain");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("found --result without --uncertainty");
    assertThat(out).doesNotExist();
  }

  @Test
  void aMakerFileThatIsWrongIsToldBeforeAnythingIsWritten() throws IOException {
    Path maker = Files.writeString(folder.resolve("maker.yaml"), "maker: a\nlogo: none.png\n");
    Cli cli = report("--maker", maker);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("maker.yaml:2:7: found logo: \"none.png\"");
    assertThat(out).doesNotExist();
  }

  @Test
  void theWorkshopsSheetIsAFileOfItsOwnAndOnlyOfUnitsThatDidNotPass() throws IOException {
    Path causes = folder.resolve("causes.yaml");
    Files.writeString(
        causes,
        Files.readString(Cli.HOME.resolve("limits/linnet-12/causes.yaml"))
            .replaceFirst("(?m)^product: .*$", "product: linnet-12"));
    Cli passed = report("--workshop", causes);
    assertThat(passed.code()).isEqualTo(2);
    assertThat(passed.err()).contains("passed; expected one that did not");
    assertThat(out).doesNotExist();
    Cli failed = report("--workshop", causes, "--run", Fixture.RUN);
    assertThat(failed.code()).as(failed.err()).isZero();
    String html = Files.readString(out.resolve("LN12-001-workshop.html"));
    assertThat(html)
        .contains("Not for the customer", "What failed", "frequency response")
        .contains("What this usually means");
    assertThat(Files.readAllBytes(out.resolve("LN12-001-workshop.pdf")))
        .startsWith('%', 'P', 'D', 'F');
    assertThat(out.resolve("LN12-001.html")).doesNotExist();
  }
}
