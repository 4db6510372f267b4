package kitproof.report;

import static kitproof.report.CertificateTest.DIGEST;
import static kitproof.report.CertificateTest.text;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.stream.StreamSupport;
import kitproof.journal.Fixture;
import kitproof.journal.RunRecord;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.junit.jupiter.api.Test;

/** The plots of a certificate as its PDF has them: drawn, with words that are text, and tagged. */
class CertificatePlotsTest {
  private static byte[] pdf() throws IOException {
    return new Certificate(RunRecord.of(Fixture.entries()), DIGEST, null).pdf(Paper.A4);
  }

  @Test
  void theDocumentIsTaggedAndTellsWhatAPlotShows() throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf())) {
      assertThat(document.getDocumentCatalog().getMarkInfo().isMarked()).isTrue();
      assertThat(document.getDocumentCatalog().getLanguage()).isEqualTo("en");
      long figures =
          document.getDocument().getObjectsByType(COSName.getPDFName("StructElem")).stream()
              .map(o -> (org.apache.pdfbox.cos.COSDictionary) o.getObject())
              .filter(d -> "Figure".equals(d.getNameAsString(COSName.S)))
              .filter(d -> String.valueOf(d.getString(COSName.ALT)).contains("frequency response"))
              .count();
      assertThat(figures).isEqualTo(1);
    }
  }

  @Test
  void theWordsOfAPlotAreTextLikeAllOther() throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf())) {
      assertThat(text(document))
          .contains("Frequency response", "within the mask", "frequency (Hz)");
    }
  }

  @Test
  void thePlotsAreLinesNotPixels() throws IOException {
    try (PDDocument document = Loader.loadPDF(pdf())) {
      long pictures =
          StreamSupport.stream(document.getPages().spliterator(), false)
              .flatMap(
                  page ->
                      StreamSupport.stream(
                          page.getResources().getXObjectNames().spliterator(), false))
              .count();
      assertThat(pictures).as("drawn forms").isEqualTo(1);
      assertThat(document.getDocument().getObjectsByType(COSName.XOBJECT))
          .noneMatch(
              o ->
                  "Image"
                      .equals(
                          ((org.apache.pdfbox.cos.COSDictionary) o.getObject())
                              .getNameAsString(COSName.SUBTYPE)));
    }
  }
}
