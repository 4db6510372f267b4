package kitproof.plot;

import com.github.weisj.jsvg.SVGDocument;
import com.github.weisj.jsvg.parser.LoaderContext;
import com.github.weisj.jsvg.parser.SVGLoader;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import javax.imageio.ImageIO;

/** Turns a drawing into pixels. */
public final class Raster {
  /** Sharp on paper and on dense screens. */
  private static final double PIXELS_PER_UNIT = 2;

  private Raster() {}

  /**
   * A PNG of the drawing.
   *
   * @param svg from {@link Drawing#svg}
   */
  public static byte[] png(String svg) throws IOException {
    SVGDocument document =
        new SVGLoader()
            .load(
                new ByteArrayInputStream(svg.getBytes(StandardCharsets.UTF_8)),
                null,
                LoaderContext.createDefault());
    if (document == null) {
      throw new IllegalStateException("no drawing: " + svg);
    }
    BufferedImage image =
        new BufferedImage(
            (int) Math.ceil(document.size().width * PIXELS_PER_UNIT),
            (int) Math.ceil(document.size().height * PIXELS_PER_UNIT),
            BufferedImage.TYPE_INT_RGB);
    Graphics2D pen = image.createGraphics();
    pen.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    pen.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    pen.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    pen.scale(PIXELS_PER_UNIT, PIXELS_PER_UNIT);
    document.render(null, pen);
    pen.dispose();
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    ImageIO.write(image, "png", bytes);
    return bytes.toByteArray();
  }
}
