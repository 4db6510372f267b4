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

  private Raster() {}

  /**
   * A PNG of the drawing.
   *
   * @param svg from {@link Drawing#svg}
   */
  public static byte[] png(String svg) throws IOException {
    Picture picture = Picture.of(svg);
    BufferedImage image =
        new BufferedImage(
            (int) Math.ceil(picture.width() * PIXELS_PER_UNIT),
            (int) Math.ceil(picture.height() * PIXELS_PER_UNIT),
            BufferedImage.TYPE_INT_RGB);
    Graphics2D pen = image.createGraphics();
    pen.scale(PIXELS_PER_UNIT, PIXELS_PER_UNIT);
    picture.paint(pen);
    pen.dispose();
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    ImageIO.write(image, "png", bytes);
    return bytes.toByteArray();
  }
}
