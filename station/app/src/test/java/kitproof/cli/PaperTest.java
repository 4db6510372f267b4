package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import javax.imageio.ImageIO;
import kitproof.batch.Linnets;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.rendering.ImageType;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Certificate and batch report as they come out of a printer: every sheet is drawn, and left in
 * target/papers to be looked at.
 */
class PaperTest {
  private static final int DPI = 72;
  private static final Path PAPERS = Path.of("target/papers");

  @TempDir Path folder;
  private Path records;

  @BeforeEach
  void keepABatch() throws IOException {
    records = folder.resolve("records");
    Linnets linnets = new Linnets(records);
    for (int i = 1; i <= 12; i++) {
      linnets.run("pilot", i, i == 5 ? 24.5 : 26 + 0.05 * (i % 4), -0.5 - 0.01 * (i % 3));
    }
  }

  private Path written(String paper, String kind) {
    Path out = folder.resolve(kind);
    Cli cli =
        kind.equals("certificate")
            ? Cli.run(
                "report",
                "--unit",
                "LN12-001",
                "--records",
                records,
                "--maker",
                Cli.example("maker.yaml"),
                "--paper",
                paper,
                "--out",
                out)
            : Cli.run(
                "batch",
                "pilot",
                "--records",
                records,
                "--maker",
                Cli.example("maker.yaml"),
                "--paper",
                paper,
                "--report",
                out);
    assertThat(cli.code()).as(cli.err()).isZero();
    return out.resolve(kind.equals("certificate") ? "LN12-001.pdf" : "pilot.pdf");
  }

  /** Sizes in mm: ISO 216; ANSI/ASME Y14.1 has Letter as 8.5 by 11 inches. */
  @ParameterizedTest
  @CsvSource({
    "certificate, A4, 210, 297, 2, 4",
    "certificate, LETTER, 215.9, 279.4, 2, 4",
    "batch, A4, 210, 297, 3, 6",
    "batch, LETTER, 215.9, 279.4, 3, 6"
  })
  void everySheetIsWrittenOnInsideItsMargins(
      String kind, String paper, double width, double height, int fewest, int most)
      throws IOException {
    try (PDDocument document = Loader.loadPDF(written(paper, kind).toFile())) {
      assertThat(document.getNumberOfPages()).isBetween(fewest, most);
      PDFRenderer renderer = new PDFRenderer(document);
      Files.createDirectories(PAPERS);
      for (int i = 0; i < document.getNumberOfPages(); i++) {
        PDPage page = document.getPage(i);
        String name = kind + "-" + paper + "-" + (i + 1);
        assertThat(page.getMediaBox().getWidth() * 25.4 / 72).isCloseTo(width, within(0.2));
        assertThat(page.getMediaBox().getHeight() * 25.4 / 72).isCloseTo(height, within(0.2));
        BufferedImage sheet = renderer.renderImageWithDPI(i, DPI, ImageType.RGB);
        ImageIO.write(sheet, "png", PAPERS.resolve(name + ".png").toFile());
        int margin = (int) (5 / 25.4 * DPI);
        assertThat(ink(sheet, margin)).as("share of %s with ink", name).isBetween(0.003, 0.6);
        assertThat(inkInMargins(sheet, margin)).as("cut off at the edge of %s", name).isZero();
        PDFTextStripper text = new PDFTextStripper();
        text.setStartPage(i + 1);
        text.setEndPage(i + 1);
        assertThat(text.getText(document))
            .as(name)
            .contains("page " + (i + 1) + " of " + document.getNumberOfPages())
            .hasSizeGreaterThan(100);
        for (COSName font : page.getResources().getFontNames()) {
          PDFont of = page.getResources().getFont(font);
          assertThat(of.isEmbedded()).as(name + " " + of.getName()).isTrue();
        }
      }
    }
  }

  private static boolean inked(BufferedImage sheet, int x, int y) {
    int rgb = sheet.getRGB(x, y);
    int green = rgb >> 8 & 0xff;
    return green < 0xe0; // the eye sees green first
  }

  /** Above the line at the foot, which even an empty sheet has. */
  private static double ink(BufferedImage sheet, int margin) {
    int inked = 0;
    int all = 0;
    int foot = (int) (25 / 25.4 * DPI);
    for (int y = margin; y < sheet.getHeight() - foot; y++) {
      for (int x = margin; x < sheet.getWidth() - margin; x++) {
        all++;
        inked += inked(sheet, x, y) ? 1 : 0;
      }
    }
    return (double) inked / all;
  }

  private static int inkInMargins(BufferedImage sheet, int margin) {
    int inked = 0;
    for (int y = 0; y < sheet.getHeight(); y++) {
      for (int x = 0; x < sheet.getWidth(); x++) {
        boolean inside =
            x >= margin
                && y >= margin
                && x < sheet.getWidth() - margin
                && y < sheet.getHeight() - margin;
        inked += !inside && inked(sheet, x, y) ? 1 : 0;
      }
    }
    return inked;
  }

  @Test
  void aSheetForTheWorkshopTakesNoLetterhead() {
    Cli cli =
        Cli.run(
            "report",
            "--unit",
            "LN12-005",
            "--records",
            records,
            "--maker",
            Cli.example("maker.yaml"),
            "--workshop",
            Cli.HOME.resolve("limits/linnet-12/causes.yaml"),
            "--out",
            folder.resolve("workshop"));
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("found --workshop with --maker; a sheet for the workshop has");
    assertThat(folder.resolve("workshop")).doesNotExist();
  }
}
