package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.StringReader;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.Fixture;
import kitproof.journal.RunRecord;
import nu.validator.htmlparser.common.XmlViolationPolicy;
import nu.validator.htmlparser.sax.HtmlParser;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.io.RandomAccessReadBuffer;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.xml.sax.InputSource;
import org.xml.sax.SAXException;
import org.xml.sax.SAXParseException;
import org.xml.sax.helpers.DefaultHandler;

/** Documents are read back by PDFBox, pages by the reference parser of the HTML standard. */
class CertificateTest {
  static final String DIGEST = "sha256:0a1b2c";
  private static final Maker MAKER =
      new Maker("Linnet & Daughters", List.of("3 Reed Lane", "Upper Marsh"), "One by one.", null);

  private static RunRecord failed() {
    return RunRecord.of(Fixture.entries());
  }

  private static RunRecord ended(Verdict verdict, String reason) {
    List<Entry> entries = new ArrayList<>();
    for (Entry entry : Fixture.entries()) {
      boolean last = entry.event() instanceof Event.RunEnded;
      Event event = last ? new Event.RunEnded(verdict, reason, List.of()) : entry.event();
      entries.add(new Entry(entry.run(), entry.sequence(), entry.time(), event));
    }
    return RunRecord.of(entries);
  }

  private static RunRecord withUnit(String unit, String notice) {
    List<Entry> entries = new ArrayList<>();
    for (Entry entry : Fixture.entries()) {
      Event event = entry.event();
      if (event instanceof Event.RunStarted s) {
        event =
            new Event.RunStarted(
                s.run(),
                s.shop(),
                s.station(),
                unit,
                s.batch(),
                s.product(),
                s.revision(),
                s.plan(),
                s.digests(),
                s.steps());
      } else if (event instanceof Event.Notice) {
        event = new Event.Notice(notice);
      }
      entries.add(new Entry(entry.run(), entry.sequence(), entry.time(), event));
    }
    return RunRecord.of(entries);
  }

  static String text(PDDocument document) throws IOException {
    // Lines are broken where they fit; what is said is the same.
    return new PDFTextStripper().getText(document).replaceAll("[\\s\u00a0]+", " ");
  }

  @Test
  void aNoteOnAResultStandsBelowIt() throws IOException {
    String note = "limited by the station, whose own residual is 0.0012 % here";
    List<Entry> entries = new ArrayList<>();
    for (Entry entry : Fixture.entries()) {
      Event event = entry.event();
      if (event instanceof Event.ResultJudged r && r.measurement().name().equals("hv")) {
        event = new Event.ResultJudged(r.index(), r.measurement().noted(note), r.judgement());
      }
      entries.add(new Entry(entry.run(), entry.sequence(), entry.time(), event));
    }
    byte[] pdf = new Certificate(RunRecord.of(entries), DIGEST, MAKER).pdf(Paper.A4);
    try (PDDocument document = Loader.loadPDF(pdf)) {
      assertThat(text(document)).containsOnlyOnce(note);
    }
  }

  private static RunRecord told(Event.CalibrationTold told) {
    List<Entry> entries = new ArrayList<>();
    for (Entry entry : Fixture.entries()) {
      entries.add(new Entry(entry.run(), entries.size(), entry.time(), entry.event()));
      if (entry.event() instanceof Event.RunStarted) {
        entries.add(new Entry(entry.run(), entries.size(), entry.time(), told));
      }
    }
    return RunRecord.of(entries);
  }

  private static List<String> sheets(RunRecord record) throws IOException {
    List<String> sheets = new ArrayList<>();
    byte[] pdf = new Certificate(record, DIGEST, MAKER).pdf(Paper.A4);
    try (PDDocument document = Loader.loadPDF(pdf)) {
      PDFTextStripper stripper = new PDFTextStripper();
      for (int page = 1; page <= document.getNumberOfPages(); page++) {
        stripper.setStartPage(page);
        stripper.setEndPage(page);
        sheets.add(stripper.getText(document).replaceAll("[\\s\u00a0]+", " "));
      }
    }
    return sheets;
  }

  @Test
  void everySheetSaysWhetherTheBenchWasCalibrated() throws IOException {
    List<String> un =
        sheets(told(new Event.CalibrationTold(false, "UNCALIBRATED: as was asked", List.of())));
    assertThat(un).hasSizeGreaterThan(2).allMatch(sheet -> sheet.contains("UNCALIBRATED"));
    List<String> calibrated =
        sheets(
            told(
                new Event.CalibrationTold(
                    true,
                    "calibrated on 2026-11-26, holds until 2027-05-26, run R-7",
                    List.of("hv-meter: C-1 of A Laboratory, until 2027-02-28"))));
    assertThat(calibrated)
        .allMatch(s -> s.contains("calibrated on 2026-11-26, holds until 2027-05-26"))
        .noneMatch(sheet -> sheet.contains("UNCALIBRATED"));
    assertThat(calibrated.get(0)).contains("run R-7");
    assertThat(String.join("", calibrated))
        .contains("Certificates of the instruments: ")
        .contains("C-1 of A Laboratory");
  }

  @ParameterizedTest
  @EnumSource(Paper.class)
  void theDocumentHasItsPaperItsTextAndItsFonts(Paper paper) throws IOException {
    byte[] pdf = new Certificate(failed(), DIGEST, MAKER).pdf(paper);
    try (PDDocument document = Loader.loadPDF(pdf)) {
      List<PDFont> fonts = new ArrayList<>();
      for (PDPage page : document.getPages()) {
        // A point is 25.4 / 72 mm.
        assertThat(page.getMediaBox().getWidth() * 25.4 / 72).isCloseTo(paper.width(), within(0.2));
        assertThat(page.getMediaBox().getHeight() * 25.4 / 72)
            .isCloseTo(paper.height(), within(0.2));
        for (COSName name : page.getResources().getFontNames()) {
          fonts.add(page.getResources().getFont(name));
        }
      }
      assertThat(fonts)
          .isNotEmpty()
          .allSatisfy(font -> assertThat(font.isEmbedded()).as(font.getName()).isTrue());
      assertThat(text(document))
          .contains(
              "Linnet & Daughters",
              "Test report",
              "LN12-001",
              "Did not pass",
              "1 of the 2 results that have a limit did not hold it",
              "at 20 Hz: \u22124.5 dB is below \u22123 dB",
              "331.2 V",
              "315 V to 345 V",
              "Heron 6 digit meter",
              "sha256:02",
              DIGEST,
              "several hundred volts",
              "page 1 of " + document.getNumberOfPages());
      assertThat(document.getDocumentInformation().getTitle())
          .isEqualTo("Test report: linnet-12 LN12-001");
    }
    assertThat(pdf.length).as("bytes").isLessThan(300_000);
  }

  /** A font's ligatures would be glyphs that stand for no character. */
  @Test
  void everyGlyphStandsForItsCharacters() throws IOException {
    RunRecord record = withUnit("office affluent fjord", "difficult, efficient");
    byte[] pdf = new Certificate(record, DIGEST, MAKER).pdf(Paper.A4);
    try (PDDocument document = Loader.loadPDF(pdf)) {
      assertThat(text(document)).contains("office affluent fjord", "difficult, efficient");
      List<String> glyphs = new ArrayList<>();
      new PDFTextStripper() {
        @Override
        protected void processTextPosition(org.apache.pdfbox.text.TextPosition glyph) {
          glyphs.add(glyph.getUnicode());
        }
      }.getText(document);
      assertThat(glyphs).hasSizeGreaterThan(500).allMatch(g -> g != null && g.length() == 1);
    }
  }

  @Test
  void onlyAPassIsACertificate() {
    String passed = new Certificate(ended(Verdict.PASS, ""), DIGEST, MAKER).html(Paper.A4);
    assertThat(passed).contains("<h1>Certificate of test</h1>", "For Linnet &amp; Daughters");
    for (Verdict verdict : List.of(Verdict.FAIL, Verdict.ABORTED, Verdict.ERROR)) {
      String page = new Certificate(ended(verdict, "why"), DIGEST, MAKER).html(Paper.A4);
      assertThat(page)
          .contains("<h1>Test report</h1>")
          .doesNotContain("Certificate", "class=\"signature\"", "Passed");
    }
    assertThat(new Certificate(ended(Verdict.ABORTED, "why"), DIGEST, MAKER).html(Paper.A4))
        .contains("The test ended before it was complete: why.", "Not completed");
  }

  @Test
  void aRunThatGoesOnHasNone() {
    List<Entry> begun = Fixture.entries().subList(0, 4);
    assertThatThrownBy(() -> new Certificate(RunRecord.of(begun), DIGEST, null))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("has not ended");
  }

  /** Every mistake that the HTML standard calls a parse error. */
  private static List<String> mistakes(String page) throws IOException, SAXException {
    List<String> mistakes = new ArrayList<>();
    HtmlParser parser = new HtmlParser(XmlViolationPolicy.ALLOW);
    parser.setContentHandler(new DefaultHandler());
    parser.setErrorHandler(
        new DefaultHandler() {
          @Override
          public void error(SAXParseException e) {
            mistakes.add(e.getLineNumber() + ": " + e.getMessage());
          }
        });
    parser.parse(new InputSource(new StringReader(page)));
    return mistakes;
  }

  @Test
  void thePageIsValidAndWholeInItself() throws Exception {
    String page = new Certificate(failed(), DIGEST, MAKER).html(Paper.A4);
    assertThat(mistakes(page)).isEmpty();
    assertThat(mistakes("<!DOCTYPE html><title>a</title><p></div>")).isNotEmpty();
    Matcher references =
        Pattern.compile("(?:src|href|xlink:href)\\s*=\\s*\"([^\"]*)\"|url\\(([^)]*)\\)|@import")
            .matcher(page);
    int found = 0;
    while (references.find()) {
      String target = references.group(1) == null ? references.group(2) : references.group(1);
      assertThat(target).isNotNull().matches("data:.*|#.*");
      found++;
    }
    assertThat(found).as("fonts").isGreaterThanOrEqualTo(3);
    assertThat(page).doesNotContain("<script", "<link");
    assertThat(Pattern.compile(" id=\"([^\"]*)\"").matcher(page).results().map(r -> r.group(1)))
        .doesNotHaveDuplicates();
  }

  /** Rules of a whole font would join the wrong glyphs of a part of it. */
  @Test
  void thePagesFontsHaveItsCharactersAndNoRulesForOthers() throws IOException {
    String page = new Certificate(failed(), DIGEST, MAKER).html(Paper.A4);
    Matcher fonts = Pattern.compile("data:font/ttf;base64,([^)]+)\\)").matcher(page);
    int found = 0;
    while (fonts.find()) {
      byte[] bytes = Base64.getDecoder().decode(fonts.group(1));
      assertThat(bytes.length).isLessThan(60_000);
      try (TrueTypeFont font = new TTFParser().parse(new RandomAccessReadBuffer(bytes))) {
        assertThat(font.getTableMap().keySet()).contains("glyf").doesNotContain("GSUB", "GPOS");
        for (char c : "annual constant measurement 0123456789".toCharArray()) {
          assertThat(font.getUnicodeCmapLookup().getGlyphId(c)).as("" + c).isPositive();
        }
      }
      found++;
    }
    assertThat(found).isEqualTo(3);
  }

  @Test
  void whateverARecordSaysStaysWords() throws Exception {
    String evil = "</div><script>alert(1)</script>&amp;\"'\u0000\u0007<img src=x>";
    RunRecord record = withUnit(evil, "]]> <!-- {} @page url(http://x.example/)");
    Maker maker = new Maker(evil, List.of(evil), evil, null);
    String page = new Certificate(record, evil, maker).html(Paper.A4);
    assertThat(mistakes(page)).isEmpty();
    assertThat(page).doesNotContain("<script", "<img", "\u0000", "\u0007");
    byte[] pdf = new Certificate(record, evil, maker).pdf(Paper.LETTER);
    try (PDDocument document = Loader.loadPDF(pdf)) {
      assertThat(text(document)).contains("<script>alert(1)</script>&amp;\"'");
    }
  }

  @Test
  void namesWithoutEndOrOfOtherScriptsFit() throws IOException {
    String name = "Ωμέγα-Щука-" + "W".repeat(300);
    byte[] pdf = new Certificate(withUnit(name, "x".repeat(2000)), DIGEST, null).pdf(Paper.A4);
    try (PDDocument document = Loader.loadPDF(pdf)) {
      assertThat(text(document).replace(" ", "")).contains(name);
    }
  }

  @Test
  void theSameRecordGivesTheSamePage() {
    assertThat(new Certificate(failed(), DIGEST, MAKER).html(Paper.A4))
        .isEqualTo(new Certificate(failed(), DIGEST, MAKER).html(Paper.A4));
  }
}
