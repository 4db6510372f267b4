package kitproof.plot;

import java.io.StringWriter;
import java.util.Locale;
import javax.xml.stream.XMLOutputFactory;
import javax.xml.stream.XMLStreamException;
import javax.xml.stream.XMLStreamWriter;

/** Writes one SVG document, element by element, every text escaped. */
final class Svg {
  private static final XMLOutputFactory FACTORY = XMLOutputFactory.newDefaultFactory();

  private final StringWriter text = new StringWriter();
  private final XMLStreamWriter out;

  /** Begins a document of this size in user units. */
  Svg(double width, double height) {
    try {
      out = FACTORY.createXMLStreamWriter(text);
      out.writeStartDocument("UTF-8", "1.0");
      out.writeStartElement("svg");
      out.writeDefaultNamespace("http://www.w3.org/2000/svg");
    } catch (XMLStreamException e) {
      throw new IllegalStateException("writing to memory does not fail", e);
    }
    with(
        "width", width, "height", height, "viewBox", "0 0 " + number(width) + " " + number(height));
  }

  /** Begins an element with attributes, names and values by turns; {@link #end} ends it. */
  Svg begin(String element, Object... attributes) {
    return doing(() -> out.writeStartElement(element)).with(attributes);
  }

  /** Ends the innermost element that was begun. */
  Svg end() {
    return doing(out::writeEndElement);
  }

  /** A whole element without content. */
  Svg element(String element, Object... attributes) {
    return begin(element, attributes).end();
  }

  /** A line of text. */
  Svg words(double x, double y, String words, Object... attributes) {
    begin("text", "x", x, "y", y).with(attributes);
    return doing(() -> out.writeCharacters(DocumentText.of(words))).end();
  }

  /** Begins a group with a drawing's letters, in this colour. */
  Svg lettered(String colour, Object... attributes) {
    return begin(
            "g",
            "font-family",
            "Lato, Helvetica, Arial, sans-serif",
            "font-size",
            12,
            "fill",
            colour)
        .with(attributes);
  }

  /** What is drawn along an axis, upwards at the left edge of a drawing. */
  Svg upright(double middle, String words) {
    return words(
        18,
        middle,
        words,
        "text-anchor",
        "middle",
        "transform",
        "rotate(-90 18 " + number(middle) + ")");
  }

  /** Ends the document and returns it without its first line, to be set into a page. */
  String closeInline() {
    return inline(close());
  }

  /** A document without its first line, to be set into a page. */
  static String inline(String document) {
    return document.replaceFirst("^<\\?xml[^>]*>\\s*", "");
  }

  /** Ends the document and returns it. */
  String close() {
    doing(out::writeEndDocument);
    doing(out::flush);
    return text.toString();
  }

  /** A number as briefly as a screen needs it. */
  static String number(double value) {
    String text = String.format(Locale.ROOT, "%.2f", value);
    return text.replaceFirst("\\.?0+$", "");
  }

  private Svg with(Object... attributes) {
    for (int i = 0; i < attributes.length; i += 2) {
      String name = (String) attributes[i];
      Object value = attributes[i + 1];
      String word = value instanceof Number n ? number(n.doubleValue()) : value.toString();
      doing(() -> out.writeAttribute(name, word));
    }
    return this;
  }

  private interface Writing {
    void write() throws XMLStreamException;
  }

  private Svg doing(Writing writing) {
    try {
      writing.write();
    } catch (XMLStreamException e) {
      throw new IllegalStateException("writing to memory does not fail", e);
    }
    return this;
  }
}
