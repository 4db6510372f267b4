package kitproof.plot;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Font;
import java.awt.font.FontRenderContext;
import java.awt.geom.AffineTransform;
import java.awt.geom.Rectangle2D;
import java.io.StringReader;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.xml.parsers.DocumentBuilderFactory;
import kitproof.report.ShippedFonts;
import org.w3c.dom.Element;
import org.w3c.dom.Node;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

/**
 * The words of a drawing with the room that they take, measured with the font's own widths.
 *
 * @param text what is written
 * @param box where, in the document's coordinates
 */
public record DrawnWords(String text, Rectangle2D box) {
  private static final Pattern MOVES = Pattern.compile("(translate|rotate)\\(([^)]*)\\)");
  private static final FontRenderContext EXACT = new FontRenderContext(null, true, true);

  /** Of one SVG document. */
  public static List<DrawnWords> of(String svg) throws Exception {
    ShippedFonts.register();
    Element root = root(svg);
    NodeList texts = root.getElementsByTagName("text");
    List<DrawnWords> all = new ArrayList<>();
    for (int i = 0; i < texts.getLength(); i++) {
      if (!texts.item(i).getTextContent().isBlank()) { // the fine lines of a grid have no label
        all.add(of((Element) texts.item(i)));
      }
    }
    return all;
  }

  private static Element root(String svg) throws Exception {
    return DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(new InputSource(new StringReader(svg)))
        .getDocumentElement();
  }

  private static DrawnWords of(Element text) {
    float size = Float.parseFloat(inherited(text, "font-size"));
    boolean bold = text.getAttribute("font-weight").equals("bold");
    Font font = new Font("Lato", bold ? Font.BOLD : Font.PLAIN, 1).deriveFont(size);
    Rectangle2D line = font.getStringBounds(text.getTextContent(), EXACT);
    double x = Double.parseDouble(text.getAttribute("x"));
    double y = Double.parseDouble(text.getAttribute("y"));
    double left =
        switch (text.getAttribute("text-anchor")) {
          case "middle" -> x - line.getWidth() / 2;
          case "end" -> x - line.getWidth();
          default -> x;
        };
    // What a capital or a figure takes above the line; no descender is deeper than a fifth.
    Rectangle2D box = new Rectangle2D.Double(left, y - 0.75 * size, line.getWidth(), 0.95 * size);
    for (Node node = text; node instanceof Element element; node = node.getParentNode()) {
      box = moves(element.getAttribute("transform")).createTransformedShape(box).getBounds2D();
    }
    return new DrawnWords(text.getTextContent(), box);
  }

  private static String inherited(Element element, String attribute) {
    return element.hasAttribute(attribute)
        ? element.getAttribute(attribute)
        : inherited((Element) element.getParentNode(), attribute);
  }

  private static AffineTransform moves(String written) {
    AffineTransform all = new AffineTransform();
    Matcher matcher = MOVES.matcher(written);
    while (matcher.find()) {
      String[] numbers = matcher.group(2).trim().split("[ ,]+");
      double first = Double.parseDouble(numbers[0]);
      if (matcher.group(1).equals("translate")) {
        all.translate(first, Double.parseDouble(numbers[1]));
      } else {
        all.rotate(
            Math.toRadians(first), Double.parseDouble(numbers[1]), Double.parseDouble(numbers[2]));
      }
    }
    return all;
  }

  /** Nothing is cut off at the drawing's edges, and nothing written over anything else. */
  public static void assertReadable(String what, String svg) throws Exception {
    Element root = root(svg);
    Rectangle2D page =
        new Rectangle2D.Double(
            0,
            0,
            Double.parseDouble(root.getAttribute("width")),
            Double.parseDouble(root.getAttribute("height")));
    List<DrawnWords> words = of(svg);
    assertThat(words).as(what).isNotEmpty();
    for (int i = 0; i < words.size(); i++) {
      DrawnWords one = words.get(i);
      assertThat(page.contains(one.box))
          .as("%s: \"%s\" is cut off: %s", what, one.text, one.box)
          .isTrue();
      for (DrawnWords other : words.subList(i + 1, words.size())) {
        assertThat(one.box.intersects(other.box))
            .as("%s: \"%s\" is written over \"%s\"", what, one.text, other.text)
            .isFalse();
      }
    }
  }
}
