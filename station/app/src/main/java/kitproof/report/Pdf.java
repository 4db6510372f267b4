package kitproof.report;

import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.util.XRLog;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.time.Instant;

/** Sets a page for paper. */
final class Pdf {
  private Pdf() {}

  /**
   * The PDF document of a page.
   *
   * @param page well-formed, with no reference to anything outside
   * @param made the time it says it was made
   */
  static byte[] of(String page, Instant made) throws IOException {
    XRLog.setLoggingEnabled(false); // it tells every rule of the style sheet
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    PdfRendererBuilder builder = new PdfRendererBuilder();
    builder.useFastMode();
    builder.usePdfUaAccessibility(true);
    builder.withProducer("Kitproof");
    builder.useSVGDrawer(new DrawingOnPaper());
    for (Typeface face : Typeface.values()) {
      builder.useFont(face::open, face.family(), face.weight(), FontStyle.NORMAL, true);
    }
    // Nothing is fetched: a page holds all it needs.
    builder.useExternalResourceAccessControl(
        (uri, type) -> uri == null || uri.startsWith("data:"),
        com.openhtmltopdf.outputdevice.helper.ExternalResourceControlPriority
            .RUN_BEFORE_RESOLVING_URI);
    builder.withHtmlContent(page, null);
    builder.toStream(bytes);
    try (PdfBoxRenderer renderer = builder.buildPdfRenderer()) {
      renderer.createPDF();
    }
    return bytes.toByteArray();
  }
}
