package kitproof.plot;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import javax.imageio.ImageIO;

/** Turns a drawing into pixels. */
public final class Raster {
  /** Sharp on paper and on dense screens. */
  private static final double PIXELS_PER_UNIT = 2;

  /**
   * Less sharp rather than more than this, so that all curves of several records fit the memory.
   */
  private static final double MOST_PIXELS = 25e6;

  private Raster() {}

  /**
   * A PNG of the drawing.
   *
   * @param svg from {@link Drawing#svg}
   */
  public static byte[] png(String svg) throws IOException {
    Picture picture = Picture.of(svg);
    double scale =
        Math.min(PIXELS_PER_UNIT, Math.sqrt(MOST_PIXELS / picture.width() / picture.height()));
    BufferedImage image =
        new BufferedImage(
            (int) Math.ceil(picture.width() * scale),
            (int) Math.ceil(picture.height() * scale),
            BufferedImage.TYPE_INT_RGB);
    Graphics2D pen = image.createGraphics();
    pen.scale(scale, scale);
    picture.paint(pen);
    pen.dispose();
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    ImageIO.write(image, "png", bytes);
    return bytes.toByteArray();
  }
}
