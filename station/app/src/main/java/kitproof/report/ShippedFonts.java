package kitproof.report;

import java.awt.Font;
import java.awt.FontFormatException;
import java.awt.GraphicsEnvironment;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;

/** Our fonts among those of the machine, for drawings that find theirs by name. */
public final class ShippedFonts {
  private ShippedFonts() {}

  /** From here on a drawing in pixels or on paper has them; may be called again. */
  public static void register() {
    for (Typeface face : Typeface.values()) {
      try (InputStream in = face.open()) {
        GraphicsEnvironment.getLocalGraphicsEnvironment()
            .registerFont(Font.createFont(Font.TRUETYPE_FONT, in));
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      } catch (FontFormatException e) {
        throw new IllegalStateException("a font that is shipped is no font", e);
      }
    }
  }
}
