package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import javax.imageio.ImageIO;
import kitproof.batch.Linnets;
import kitproof.journal.RecordDocument;
import kitproof.limit.Judge;
import kitproof.limit.Judgement.Outcome;
import kitproof.limit.LimitFile;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The command that tells what the records of a batch say together. */
class BatchTest {
  @TempDir Path folder;
  private Path records;
  private Path good;

  @BeforeEach
  void keepABatch() throws IOException {
    records = folder.resolve("records");
    Linnets linnets = new Linnets(records);
    good = linnets.pilot();
    linnets.run("second", 20, 26, -0.5);
  }

  private Cli batch(Object... arguments) {
    Object[] all = new Object[arguments.length + 3];
    all[0] = "batch";
    System.arraycopy(arguments, 0, all, 1, arguments.length);
    all[all.length - 2] = "--records";
    all[all.length - 1] = records;
    return Cli.run(all);
  }

  @Test
  void firstPassAndFinalAreKeptApart() {
    Cli cli = batch("pilot");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out())
        .contains("batch pilot: 12 units, 14 runs")
        .contains("first pass  10 of 12, 83.3 %")
        .contains("final       11 of 12, 91.7 %")
        .contains("1 run ended in error: the station's, not counted as attempts")
        .containsPattern("2 +67 % +gain\n +1 +100 % +frequency response")
        .contains("LN12-012 is unlike its sisters, 24.5 dB (median 26.01 dB)")
        .contains("LN12-005 is unlike its sisters, 26.7 dB (median 26.01 dB)")
        .contains("    Cp            95 %    Cpk            95 %")
        .containsPattern("  0\\.\\d\\d    0\\.\\d\\d to \\d\\.\\d\\d   -?\\d\\.\\d\\d ")
        .containsPattern(" 12 +25.93 dB .* gain \\(mode triode, tap 8 ohm\\): few data, not normal")
        .contains("1 result without a limit not shown")
        .contains("\ncalibration: none told");
  }

  @Test
  void theSameForAProgram() {
    JsonNode json = batch("pilot", "--json").json();
    assertThat(json.get("calibration").asText()).isEqualTo("none told");
    assertThat(json.at("/firstPass/good").intValue()).isEqualTo(10);
    assertThat(json.at("/final/good").intValue()).isEqualTo(11);
    assertThat(json.at("/stationErrors").intValue()).isEqualTo(1);
    assertThat(json.get("units")).hasSize(12);
    JsonNode gain = json.get("results").get(0);
    assertThat(gain.get("result").textValue()).isEqualTo("gain");
    assertThat(gain.get("conditions").get("tap").textValue()).isEqualTo("8 ohm");
    double[] last = Linnets.PILOT.stream().mapToDouble(x -> x).toArray();
    double mean = Arrays.stream(last).sum() / 12;
    double square = Arrays.stream(last).map(x -> (x - mean) * (x - mean)).sum() / 11;
    double cpk = Math.min(mean - 25, 27 - mean) / (3 * Math.sqrt(square));
    assertThat(gain.get("mean").doubleValue()).isCloseTo(mean, within(1e-12));
    assertThat(gain.at("/capability/cpk").doubleValue()).isCloseTo(cpk, within(1e-12));
    double cp = (27 - 25) / (6 * Math.sqrt(square));
    assertThat(gain.at("/capability/cp").doubleValue()).isCloseTo(cp, within(1e-12));
    // 2.5 % and 97.5 % of chi-squared with 11 degrees of freedom: 3.816 and 21.920 (printed tables;
    // NIST/SEMATECH e-Handbook 1.3.6.7.4)
    double least = cp * Math.sqrt(3.816 / 11);
    double most = cp * Math.sqrt(21.920 / 11);
    assertThat(gain.at("/capability/cpBounds/0").doubleValue()).isCloseTo(least, within(1e-4));
    assertThat(gain.at("/capability/cpBounds/1").doubleValue()).isCloseTo(most, within(1e-4));
    assertThat(batch("pilot").out())
        .contains(String.format(Locale.ROOT, "%8.2f    %.2f to %.2f %6.2f ", cp, least, most, cpk));
    assertThat(gain.get("outliers").findValuesAsText("unit"))
        .containsExactly("LN12-012", "LN12-005");
    assertThat(gain.get("warnings").toString()).contains("few data", "not normal");
    assertThat(json.get("results").get(1).get("capability").isNull()).as("no limit").isTrue();
  }

  private static List<CSVRecord> table(Path file) throws IOException {
    try (CSVParser csv =
        CSVParser.parse(
            file,
            StandardCharsets.UTF_8,
            CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).get())) {
      return csv.getRecords();
    }
  }

  @Test
  void tablesForOtherProgramsAreTheSameInEveryLocale() throws IOException {
    Locale before = Locale.getDefault();
    Path tables = folder.resolve("tables");
    try {
      Locale.setDefault(Locale.GERMANY);
      assertThat(batch("pilot", "--csv", tables).code()).isZero();
    } finally {
      Locale.setDefault(before);
    }
    List<CSVRecord> units = table(tables.resolve("units.csv"));
    assertThat(units).hasSize(12);
    CSVRecord third =
        units.stream().filter(u -> u.get("unit").equals("LN12-003")).findFirst().orElseThrow();
    assertThat(third.get("attempts")).isEqualTo("2");
    assertThat(third.get("first_verdict")).isEqualTo("fail");
    assertThat(third.get("first_failed")).isEqualTo("gain;frequency response");
    assertThat(third.get("last_verdict")).isEqualTo("pass");
    List<CSVRecord> results = table(tables.resolve("results.csv"));
    assertThat(results).hasSize(13 * 3);
    CSVRecord first = results.get(0);
    assertThat(first.get("conditions")).isEqualTo("mode=triode;tap=8 ohm");
    assertThat(first.get("value")).isEqualTo("26.02");
    assertThat(first.get("value_unit")).isEqualTo("dB");
    assertThat(first.get("low")).isEqualTo("25.0");
    assertThat(first.get("outcome")).isEqualTo("pass");
    assertThat(results.get(1).get("kind")).isEqualTo("curve");
    assertThat(results.get(1).get("value")).isEmpty();
    List<CSVRecord> columns = table(tables.resolve("columns.csv"));
    assertThat(columns.stream().filter(c -> c.get("file").equals("results.csv")))
        .extracting(c -> c.get("column"))
        .containsExactlyElementsOf(first.getParser().getHeaderNames());
    assertThat(columns).allMatch(c -> !c.get("meaning").isBlank());
  }

  @Test
  void proposedLimitsAreSoundHoldTheGoodUnitsAndAreNeverWrittenOverAFile() throws IOException {
    Path file = folder.resolve("proposal.yaml");
    Cli cli = batch("pilot", "--propose-limits", file, "--coverage", "0.95");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out()).contains("signed off by a person");
    String text = Files.readString(file);
    assertThat(text)
        .startsWith("# Proposed limits. To be read and signed off by a person before use.")
        .contains("From the 11 units of batch pilot", "95 % of all units", "LN12-011")
        // Eleven units, 95 % coverage, 95 % confidence, both sides (ISO 16269-6, by SciPy).
        .contains("k 3.273")
        .contains("# beware: few data, not normal, LN12-005 is unlike its sisters")
        .doesNotContain("LN12-012");
    LimitFile limits = LimitFile.read(file).value();
    assertThat(limits.entries()).hasSize(2);
    assertThat(limits.unsigned()).as("no run takes it as it is").isPresent();
    Cli check = Cli.run("check", file);
    assertThat(check.code()).isEqualTo(2);
    assertThat(check.err()).containsOnlyOnce("found proposed limits that nobody has signed off");
    Judge judge = new Judge(limits);
    RecordDocument.read(good).steps().get(0).results().stream()
        .map(r -> r.measurement())
        .filter(m -> !m.name().equals("cathode voltage")) // nothing judged it
        .forEach(m -> assertThat(judge.judge(m).outcome()).as(m.title()).isEqualTo(Outcome.PASS));
    assertThat(limits.entries().get(1).isCurve()).isTrue();
    assertThat(text).as("the old mask had no high side").doesNotContain("Hz, high");
    Cli again = batch("pilot", "--propose-limits", file);
    assertThat(again.code()).isEqualTo(2);
    assertThat(again.err()).contains("already; expected a new file");
    assertThat(Files.readString(file)).isEqualTo(text);
  }

  @Test
  void tooFewGoodUnitsMakeNoLimits() {
    Path file = folder.resolve("proposal.yaml");
    Cli cli = batch("second", "--propose-limits", file);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("found 1 good units; expected 3 or more");
    assertThat(file).doesNotExist();
  }

  private Path pairs(String rows) throws IOException {
    return Files.writeString(folder.resolve("pairs.yaml"), "pairs: stereo\ncompare:\n" + rows);
  }

  @Test
  void goodUnitsArePairedAndTheOddOneLeft() throws IOException {
    Path rules =
        pairs(
            "  - {result: gain, when: {tap: 8 ohm}, difference: 0.1 dB}\n"
                + "  - {result: frequency response, difference: 1 dB}\n");
    Cli cli = batch("pilot", "--pairs", rules);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out())
        .contains("batch pilot: 5 pairs", "left without a partner: LN12-005")
        .contains("gain (mode triode, tap 8 ohm): ", "frequency response (mode triode, tap 8 ohm)")
        .doesNotContain("LN12-012");
    JsonNode json = batch("pilot", "--pairs", rules, "--json").json();
    assertThat(json.get("pairs")).hasSize(5);
    for (JsonNode pair : json.get("pairs")) {
      JsonNode difference = pair.at("/differences/gain (mode triode, tap 8 ohm)/value");
      assertThat(pair.get("distance").doubleValue())
          .isGreaterThanOrEqualTo(Math.abs(difference.doubleValue()) / 0.1);
    }
    assertThat(json.get("left").textValue()).isEqualTo("LN12-005");
  }

  @Test
  void rulesThatFitNoResultAreToldWithTheirPlace() throws IOException {
    Cli name = batch("pilot", "--pairs", pairs("  - {result: gian, difference: 0.1 dB}\n"));
    assertThat(name.code()).isEqualTo(2);
    assertThat(name.err()).contains("pairs.yaml:3:").contains("did you mean \"gain\"?");
    Cli unit = batch("pilot", "--pairs", pairs("  - {result: gain, difference: 0.1 V}\n"));
    assertThat(unit.err()).contains("pairs.yaml:3:").contains("expected a quantity in dB");
    Cli none = batch("pilot", "--pairs", pairs("  - {result: gain, difference: 0 dB}\n"));
    assertThat(none.err()).contains("pairs.yaml:3:").contains("a difference above zero");
  }

  @Test
  void aChartOverTheBatch() throws IOException {
    Path svg = folder.resolve("gain.svg");
    Cli cli = batch("pilot", "--chart", "gain", "--out", svg);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(Files.readString(svg))
        .contains(">Gain<", "batch pilot, mode triode, tap 8 ohm, 12 units")
        .contains("LN12-012<", ": 1 point beyond 3 sigma<", ": 8 points on one side of the centre<")
        .contains("limit 27 dB", "control limit ");
    Path png = folder.resolve("gain.png");
    assertThat(batch("pilot", "--chart", "gain", "--out", png).code()).isZero();
    assertThat(ImageIO.read(png.toFile()).getWidth()).isGreaterThan(1000);
    Cli near = batch("pilot", "--chart", "gian", "--out", svg);
    assertThat(near.code()).isEqualTo(2);
    assertThat(near.err()).contains("did you mean \"gain\"?");
    Cli when = batch("pilot", "--chart", "gain", "--when", "tap=9 ohm", "--out", svg);
    assertThat(when.err()).contains("found no gain when tap 9 ohm");
  }

  @Test
  void anUnknownBatchAndARecordThatCannotBeReadAreTold() throws IOException {
    Files.writeString(records.resolve("cut.json"), "{\"schema\": 1, \"ev");
    Cli cli = batch("pilto");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("pilot, second").contains("did you mean \"pilot\"?");
    Cli told = batch("second");
    assertThat(told.code()).isZero();
    assertThat(told.err()).contains("not read: ").contains("cut.json");
    assertThat(batch("second", "--json").json().get("unreadable")).hasSize(1);
    Cli missing = Cli.run("batch", "pilot", "--records", folder.resolve("none"));
    assertThat(missing.code()).isEqualTo(2);
    assertThat(missing.err()).contains("--records: found no folder");
  }

  @Test
  void noRecordIsChanged() throws IOException {
    String before = Files.readString(good);
    batch("pilot");
    assertThat(Files.readString(good)).isEqualTo(before);
  }

  @Test
  void optionsThatDoNotGoTogetherAreTold() {
    String[][] wrong = {
      {"--csv", "tables", "--pairs", "pairs.yaml", "found --csv and --pairs"},
      {"--json", "--csv", "tables", "found --json with --csv; it says nothing there"},
      {"--coverage", "0.9", "found --coverage without --propose-limits"},
      {"--when", "tap=8 ohm", "found --when without --chart"},
      {"--maker", "maker.yaml", "found --maker without --report"},
      {"--subgroups", "5", "--csv", "tables", "found --subgroups with --csv"},
      {"--json", "--json-rows", "tables", "found --json with --json-rows; it says nothing"},
      {"--subgroups", "1", "--subgroups: found 1; expected 2 units in a row or more"},
    };
    for (String[] each : wrong) {
      Object[] arguments = new Object[each.length];
      arguments[0] = "pilot";
      System.arraycopy(each, 0, arguments, 1, each.length - 1);
      Cli cli = batch(arguments);
      assertThat(cli.code()).as(String.join(" ", each)).isEqualTo(2);
      assertThat(cli.err()).contains(each[each.length - 1]);
    }
    Cli both = batch("pilot", "--index", "postgresql://localhost/shop");
    assertThat(both.code()).isEqualTo(2);
    assertThat(both.err()).contains("found --index and --records");
    assertThat(folder.resolve("tables")).doesNotExist();
  }

  @Test
  void theReportOfTheBatchIsWholeInBothForms() throws IOException {
    Path out = folder.resolve("reports");
    Cli cli = batch("pilot", "--report", out, "--maker", Cli.example("maker.yaml"));
    assertThat(cli.code()).as(cli.err()).isZero();
    String html = Files.readString(out.resolve("pilot.html"));
    assertThat(html)
        .contains("<title>Batch report: batch pilot</title>", "Linnet Valve Workshop")
        .contains("83.3", "10 of 12", "91.7", "LN12-012 is unlike its sisters")
        .doesNotContain("http://localhost", "src=\"http");
    for (int i = 1; i <= 12; i++) {
      assertThat(html).contains(String.format(Locale.ROOT, ">LN12-%03d</th>", i));
    }
    JsonNode capability = batch("pilot", "--json").json().at("/results/0/capability");
    for (String bounds : List.of("cpBounds", "cpkBounds")) {
      double low = capability.at("/" + bounds + "/0").doubleValue();
      double high = capability.at("/" + bounds + "/1").doubleValue();
      assertThat(html.replace('\u00a0', ' '))
          .contains(String.format(Locale.ROOT, ">%.2f to %.2f</td>", low, high));
    }
    try (PDDocument pdf = Loader.loadPDF(out.resolve("pilot.pdf").toFile())) {
      String text = new PDFTextStripper().getText(pdf);
      assertThat(text)
          .contains("Batch report", "pilot", "Worth a look", "Control charts", "LN12-012");
      assertThat(pdf.getDocumentCatalog().getMarkInfo().isMarked()).as("tagged").isTrue();
      assertThat(pdf.getDocumentCatalog().getLanguage()).isEqualTo("en");
    }
    assertThat(Files.size(out.resolve("pilot.pdf"))).isLessThan(400_000);
  }
}
