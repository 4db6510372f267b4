package kitproof.report;

import com.openhtmltopdf.css.sheet.FontFaceRule;
import com.openhtmltopdf.css.style.CssContext;
import com.openhtmltopdf.extend.OutputDevice;
import com.openhtmltopdf.extend.SVGDrawer;
import com.openhtmltopdf.layout.SharedContext;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.render.Box;
import com.openhtmltopdf.render.RenderingContext;
import de.rototor.pdfbox.graphics2d.PdfBoxGraphics2D;
import de.rototor.pdfbox.graphics2d.PdfBoxGraphics2DFontTextDrawer;
import java.awt.Font;
import java.io.File;
import java.io.StringWriter;
import java.util.List;
import javax.xml.transform.OutputKeys;
import javax.xml.transform.Transformer;
import javax.xml.transform.TransformerException;
import javax.xml.transform.TransformerFactory;
import javax.xml.transform.dom.DOMSource;
import javax.xml.transform.stream.StreamResult;
import kitproof.plot.Picture;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.w3c.dom.Element;

/** Paints the plots of a page into its PDF document as lines and shapes, sharp at every size. */
final class DrawingOnPaper implements SVGDrawer {
  private final Lettering.Fonts fonts;

  /** {@code fonts} are the document's, so that words of drawings are text like all other. */
  DrawingOnPaper(Lettering.Fonts fonts) {
    ShippedFonts.register();
    this.fonts = fonts;
  }

  @Override
  public SVGImage buildSVGImage(
      Element element, Box box, CssContext css, double width, double height, double dotsPerPixel) {
    Element drawing = (Element) element.cloneNode(true);
    Lettering lettering = Lettering.takenFrom(drawing, fonts);
    return new Plate(Picture.of(text(drawing)), lettering, width, dotsPerPixel);
  }

  private static String text(Element element) {
    try {
      Transformer copy = TransformerFactory.newDefaultInstance().newTransformer();
      copy.setOutputProperty(OutputKeys.OMIT_XML_DECLARATION, "yes");
      StringWriter text = new StringWriter();
      copy.transform(new DOMSource(element), new StreamResult(text));
      return text.toString();
    } catch (TransformerException e) {
      throw new IllegalStateException("copying in memory does not fail", e);
    }
  }

  /** A picture as wide as the page wants it. */
  private final class Plate implements SVGImage {
    private final Picture picture;
    private final Lettering lettering;
    private final double width;
    private final double dotsPerPixel;

    /** {@code width} is in dots; none if it is not above zero. */
    Plate(Picture picture, Lettering lettering, double width, double dotsPerPixel) {
      this.picture = picture;
      this.lettering = lettering;
      this.width = width > 0 ? width : picture.width() * dotsPerPixel;
      this.dotsPerPixel = dotsPerPixel;
    }

    @Override
    public int getIntrinsicWidth() {
      return (int) Math.round(width);
    }

    @Override
    public int getIntrinsicHeight() {
      return (int) Math.round(width * picture.height() / picture.width());
    }

    @Override
    public void drawSVG(OutputDevice device, RenderingContext context, double x, double y) {
      // The place is told in dots, the size and the pen in pixels.
      device.drawWithGraphics(
          (float) x,
          (float) y,
          (float) (getIntrinsicWidth() / dotsPerPixel),
          (float) (getIntrinsicHeight() / dotsPerPixel),
          pen -> {
            double scale = width / dotsPerPixel / picture.width();
            pen.scale(scale, scale);
            picture.paint(pen);
            ((PdfBoxGraphics2D) pen).setFontTextDrawer(new OurFonts());
            lettering.set(pen);
          });
    }
  }

  /** A pen's text in the document's fonts. */
  private final class OurFonts extends PdfBoxGraphics2DFontTextDrawer {
    @Override
    protected PDFont mapFont(Font font, IFontTextDrawerEnv env) {
      return fonts.of(font.isBold());
    }
  }

  @Override
  public void importFontFaceRules(List<FontFaceRule> rules, SharedContext context) {}

  @Override
  public void addFontFile(File file, String family, Integer weight, FontStyle style) {}

  @Override
  public void close() {}
}
