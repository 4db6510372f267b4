package kitproof.plot;

import com.github.weisj.jsvg.SVGDocument;
import com.github.weisj.jsvg.parser.DocumentLimits;
import com.github.weisj.jsvg.parser.LoaderContext;
import com.github.weisj.jsvg.parser.SVGLoader;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;

/** A drawing that can be painted on anything. */
public final class Picture {
  /** The library guards against strangers' drawings; ours may hold all curves of many records. */
  private static final DocumentLimits LIMITS =
      new DocumentLimits(
          DocumentLimits.DEFAULT_MAX_NESTING_DEPTH,
          DocumentLimits.DEFAULT_MAX_USE_NESTING_DEPTH,
          Integer.MAX_VALUE);

  private final SVGDocument document;

  private Picture(SVGDocument document) {
    this.document = document;
  }

  /**
   * Reads a drawing.
   *
   * @param svg from {@link Drawing}
   */
  public static Picture of(String svg) {
    SVGDocument document =
        new SVGLoader()
            .load(
                new ByteArrayInputStream(svg.getBytes(StandardCharsets.UTF_8)),
                null,
                LoaderContext.builder().documentLimits(LIMITS).build());
    if (document == null) {
      throw new IllegalStateException("no drawing, of " + svg.length() + " characters");
    }
    return new Picture(document);
  }

  /** In user units. */
  public double width() {
    return document.size().width;
  }

  /** In user units. */
  public double height() {
    return document.size().height;
  }

  /** Paints it at the pen's origin, one user unit as one of the pen's. */
  public void paint(Graphics2D pen) {
    pen.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    pen.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    pen.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    document.render(null, pen);
  }
}
