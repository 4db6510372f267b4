package kitproof.report;

import java.io.StringWriter;
import javax.xml.stream.XMLOutputFactory;
import javax.xml.stream.XMLStreamException;
import javax.xml.stream.XMLStreamWriter;
import kitproof.plot.DocumentText;

/**
 * Writes one page, element by element, as both HTML and XML read it.
 *
 * <p>Every text is escaped, and characters that no document may hold are replaced: whatever a
 * record says stays words.
 */
public final class Markup {
  private static final XMLOutputFactory FACTORY = XMLOutputFactory.newDefaultFactory();

  private final StringWriter text = new StringWriter();
  private final XMLStreamWriter out;

  /** An empty page. */
  public Markup() {
    try {
      out = FACTORY.createXMLStreamWriter(text);
    } catch (XMLStreamException e) {
      throw new IllegalStateException("writing to memory does not fail", e);
    }
  }

  /** Begins an element with attributes, names and values by turns; {@link #end} ends it. */
  public Markup begin(String element, String... attributes) {
    return doing(() -> out.writeStartElement(element)).with(attributes);
  }

  /** Ends the innermost element that was begun. */
  public Markup end() {
    // Something between the tags, or nothing: never a tag that ends itself, which HTML has not.
    return doing(() -> out.writeCharacters("")).doing(out::writeEndElement);
  }

  /** A whole element that never has content: meta, img. */
  public Markup lone(String element, String... attributes) {
    return doing(() -> out.writeEmptyElement(element)).with(attributes);
  }

  /** Text, escaped. */
  public Markup words(String words) {
    return doing(() -> out.writeCharacters(DocumentText.of(words)));
  }

  /** A whole element with text alone. */
  public Markup element(String element, String words, String... attributes) {
    return begin(element, attributes).words(words).end();
  }

  /** A finished piece of another writer. */
  Markup finished(String markup) {
    doing(() -> out.writeCharacters("")); // the open tag is to be closed first
    doing(out::flush);
    text.append(markup);
    return this;
  }

  /** Everything written. */
  public String close() {
    doing(out::flush);
    return text.toString();
  }

  private Markup with(String... attributes) {
    for (int i = 0; i < attributes.length; i += 2) {
      String name = attributes[i];
      String value = attributes[i + 1];
      doing(() -> out.writeAttribute(name, DocumentText.of(value)));
    }
    return this;
  }

  private interface Writing {
    void write() throws XMLStreamException;
  }

  private Markup doing(Writing writing) {
    try {
      writing.write();
    } catch (XMLStreamException e) {
      throw new IllegalStateException("writing to memory does not fail", e);
    }
    return this;
  }
}
