package kitproof.report;

import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.geom.AffineTransform;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.w3c.dom.Element;
import org.w3c.dom.Node;

/**
 * The words of a drawing, taken out of it so that they can be set as text of the document: to be
 * selected, searched and read aloud, and a fraction of the size of their outlines.
 *
 * <p>It knows what our drawings hold: {@code g} and {@code text} with {@code translate} and {@code
 * rotate}, sizes in user units, two weights, three anchors.
 */
final class Lettering {
  private static final Pattern TRANSFORM = Pattern.compile("(translate|rotate)\\(([^)]*)\\)");

  private final Fonts fonts;
  private final List<Words> words = new ArrayList<>();

  /** The document's fonts of both weights. */
  record Fonts(PDFont text, PDFont strong) {
    PDFont of(boolean bold) {
      return bold ? strong : text;
    }
  }

  /** One line of text where its baseline begins. */
  private record Words(String text, AffineTransform place, double size, boolean bold, Color ink) {}

  /** What an element hands down to those within. */
  private record Style(
      AffineTransform place, double size, boolean bold, String anchor, String ink) {
    static final Style FIRST = new Style(new AffineTransform(), 16, false, "start", "#000000");

    Style within(Element element) {
      AffineTransform inner = new AffineTransform(place);
      inner.concatenate(transform(element.getAttribute("transform")));
      return new Style(
          inner,
          Double.parseDouble(or(element, "font-size", String.valueOf(size))),
          or(element, "font-weight", bold ? "bold" : "normal").equals("bold"),
          or(element, "text-anchor", anchor),
          or(element, "fill", ink));
    }

    private static String or(Element element, String name, String otherwise) {
      return element.hasAttribute(name) ? element.getAttribute(name) : otherwise;
    }

    private static AffineTransform transform(String text) {
      AffineTransform whole = new AffineTransform();
      Matcher each = TRANSFORM.matcher(text);
      while (each.find()) {
        String[] n = each.group(2).trim().split("[\\s,]+");
        double[] v = new double[3];
        for (int i = 0; i < n.length; i++) {
          v[i] = Double.parseDouble(n[i]);
        }
        whole.concatenate(
            each.group(1).equals("translate")
                ? AffineTransform.getTranslateInstance(v[0], v[1])
                : AffineTransform.getRotateInstance(Math.toRadians(v[0]), v[1], v[2]));
      }
      return whole;
    }
  }

  private Lettering(Fonts fonts) {
    this.fonts = fonts;
  }

  /**
   * Takes out of a drawing all words that the fonts have every letter of; others stay as shapes.
   */
  static Lettering takenFrom(Element drawing, Fonts fonts) {
    Lettering lettering = new Lettering(fonts);
    lettering.take(drawing, Style.FIRST);
    return lettering;
  }

  private void take(Element element, Style around) {
    Style style = around.within(element);
    List<Node> children = new ArrayList<>();
    for (Node n = element.getFirstChild(); n != null; n = n.getNextSibling()) {
      children.add(n);
    }
    for (Node child : children) {
      if (child instanceof Element inner) {
        if (inner.getTagName().equals("text")) {
          if (isTaken(inner, style.within(inner))) {
            element.removeChild(inner);
          }
        } else {
          take(inner, style);
        }
      }
    }
  }

  private boolean isTaken(Element element, Style style) {
    String text = element.getTextContent();
    double length = length(text, style);
    if (!(length >= 0)) {
      return false;
    }
    double back =
        style.anchor.equals("middle") ? length / 2 : style.anchor.equals("end") ? length : 0;
    AffineTransform place = new AffineTransform(style.place);
    place.translate(number(element, "x") - back, number(element, "y"));
    words.add(new Words(text, place, style.size, style.bold, Color.decode(style.ink)));
    return true;
  }

  /** In user units; not a number if the font lacks one of the letters. */
  private double length(String text, Style style) {
    try {
      return fonts.of(style.bold).getStringWidth(text) / 1000 * style.size;
    } catch (IllegalArgumentException e) {
      return Double.NaN; // the font says so by this
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static double number(Element element, String name) {
    return element.hasAttribute(name) ? Double.parseDouble(element.getAttribute(name)) : 0;
  }

  /** Sets them with a pen whose fonts are those given. */
  void set(Graphics2D pen) {
    AffineTransform before = pen.getTransform();
    for (Words each : words) {
      pen.transform(each.place);
      pen.setColor(each.ink);
      pen.setFont(
          new Font(Font.SANS_SERIF, each.bold ? Font.BOLD : Font.PLAIN, 1)
              .deriveFont((float) each.size));
      pen.drawString(each.text, 0, 0);
      pen.setTransform(before);
    }
  }
}
