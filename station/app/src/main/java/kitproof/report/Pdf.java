package kitproof.report;

import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.outputdevice.helper.ExternalResourceControlPriority;
import com.openhtmltopdf.pdfboxout.PDFontSupplier;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.util.XRLog;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.font.PDFont;

/** Sets a page for paper. */
final class Pdf {
  private Pdf() {}

  /**
   * The PDF document of a page.
   *
   * @param page well-formed, with no reference to anything outside
   */
  static byte[] of(String page) throws IOException {
    XRLog.setLoggingEnabled(false); // it tells every rule of the style sheet
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (PDDocument document = new PDDocument()) {
      PdfRendererBuilder builder = new PdfRendererBuilder();
      builder.usePDDocument(document);
      builder.usePdfUaAccessibility(true);
      builder.withProducer("Kitproof");
      Map<Typeface, PDFont> fonts = new EnumMap<>(Typeface.class);
      for (Typeface face : Typeface.values()) {
        PDFont font = face.in(document);
        fonts.put(face, font);
        builder.useFont(
            new PDFontSupplier(font), face.family(), face.weight(), FontStyle.NORMAL, true);
      }
      builder.useSVGDrawer(
          new DrawingOnPaper(
              new Lettering.Fonts(
                  Objects.requireNonNull(fonts.get(Typeface.TEXT)),
                  Objects.requireNonNull(fonts.get(Typeface.STRONG)))));
      // Nothing is fetched: a page holds all it needs.
      builder.useExternalResourceAccessControl(
          (uri, type) -> uri == null || uri.startsWith("data:"),
          ExternalResourceControlPriority.RUN_BEFORE_RESOLVING_URI);
      builder.withHtmlContent(page, null);
      builder.toStream(bytes);
      builder.run();
    }
    return bytes.toByteArray();
  }
}
