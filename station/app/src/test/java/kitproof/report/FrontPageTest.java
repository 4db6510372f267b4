package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import javax.imageio.ImageIO;
import kitproof.event.Verdict;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.apache.pdfbox.text.TextPosition;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** How the front page of a unit with every figure is set on paper, read back by PDFBox. */
class FrontPageTest {
  @TempDir Path folder;

  private Maker maker() throws IOException {
    BufferedImage square = new BufferedImage(200, 200, BufferedImage.TYPE_INT_RGB);
    ImageIO.write(square, "png", folder.resolve("logo.png").toFile());
    String text =
        "maker: Linnet Valve Workshop\n"
            + "address: [3 Reed Lane, Upper Marsh, workshop@linnet.example]\n"
            + "motto: Built by hand, measured one by one.\n"
            + "logo: logo.png\n";
    return MakerFile.read(Files.writeString(folder.resolve("maker.yaml"), text)).value();
  }

  private PDDocument document(Verdict verdict, Paper paper) throws IOException {
    return Loader.loadPDF(
        new Certificate(FullRun.of(verdict), "sha256:0a1b2c", maker()).pdf(paper));
  }

  private static String text(PDDocument document, int page) throws IOException {
    PDFTextStripper stripper = new PDFTextStripper();
    stripper.setSortByPosition(true);
    stripper.setStartPage(page);
    stripper.setEndPage(page);
    return stripper.getText(document).replace('\u00a0', ' ');
  }

  @ParameterizedTest
  @EnumSource(Paper.class)
  void aCertificateIsSignedOnItsFirstPage(Paper paper) throws IOException {
    try (PDDocument document = document(Verdict.PASS, paper)) {
      assertThat(text(document, 1))
          .contains(
              "Linnet Valve Workshop",
              "Built by hand",
              "Passed",
              "LN12-001",
              "Output power at 1 %",
              "Channel balance at 1 kHz",
              "first twelve",
              "For Linnet Valve Workshop",
              "Date");
      assertThat(text(document, 2)).startsWith("Every result");
    }
  }

  @ParameterizedTest
  @EnumSource(Paper.class)
  void aTestReportTellsItsFailuresAndFiguresOnItsFirstPage(Paper paper) throws IOException {
    try (PDDocument document = document(Verdict.FAIL, paper)) {
      assertThat(text(document, 1))
          .contains("Did not pass", " more, in the table of results.", "first twelve");
      assertThat(text(document, 2)).startsWith("Every result");
    }
  }

  @ParameterizedTest
  @EnumSource(Paper.class)
  void aFigureIsOneLine(Paper paper) throws IOException {
    try (PDDocument document = document(Verdict.PASS, paper)) {
      assertThat(text(document, 1).lines().map(line -> line.replaceAll(" +", " ").strip()))
          .contains(
              "Tones at 1 kHz \u00b7 dash: not measured left right left right",
              "Clipping power, at 3 % THD + noise 20 Hz\u201320 kHz 13.9 W 13.6 W 6.56 W 6.43 W",
              "THD + noise at 1 W 20 Hz\u201345 kHz 0.0586 % 0.0608 % 0.165 % 0.168 %",
              "Signal-to-noise ratio 20 Hz\u201320 kHz \u00b7 A-weighted \u00b7 rated 12 W 102 dB"
                  + " 103 dB \u2013",
              "Channel balance at 1 kHz 1 W 0.00 dB \u2013");
    }
  }

  @Test
  void everyModesColumnsAreAsWide() throws IOException {
    List<Double> ends = new ArrayList<>();
    try (PDDocument document = document(Verdict.PASS, Paper.A4)) {
      new PDFTextStripper() {
        @Override
        protected void writeString(String text, List<TextPosition> letters) {
          TextPosition last = letters.get(letters.size() - 1);
          if (getCurrentPageNo() == 1 && (text.equals("left") || text.equals("right"))) {
            ends.add((double) last.getXDirAdj() + last.getWidthDirAdj());
          }
        }
      }.getText(document);
    }
    assertThat(ends).hasSize(4);
    double width = ends.get(1) - ends.get(0);
    assertThat(ends.get(2) - ends.get(1)).isCloseTo(width, within(0.5));
    assertThat(ends.get(3) - ends.get(2)).isCloseTo(width, within(0.5));
  }
}
