package kitproof.report;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Base64;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TTFSubsetter;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType0Font;

/**
 * The fonts of certificates, shipped with the program under the SIL Open Font License, so that a
 * certificate looks the same on a machine without any.
 */
enum Typeface {
  TEXT("Lato", 400, "Lato-Regular.ttf"),
  STRONG("Lato", 700, "Lato-Bold.ttf"),
  TITLE("EB Garamond", 400, "EBGaramond-Regular.ttf");

  /**
   * What a font needs to be drawn. Tables about glyphs in context are not among them: in a font of
   * few characters they would still speak of the glyphs of the whole.
   */
  private static final List<String> KEPT =
      List.of(
          "head", "hhea", "hmtx", "maxp", "loca", "glyf", "cmap", "name", "post", "OS/2", "cvt ",
          "fpgm", "prep");

  private final String family;
  private final int weight;
  private final String file;

  Typeface(String family, int weight, String file) {
    this.family = family;
    this.weight = weight;
    this.file = file;
  }

  String family() {
    return family;
  }

  int weight() {
    return weight;
  }

  /** The whole font file. */
  InputStream open() {
    InputStream in = Typeface.class.getResourceAsStream(file);
    if (in == null) {
      throw new IllegalStateException("the program lacks its file " + file);
    }
    return in;
  }

  /**
   * The font in a document, which keeps no more of it than it uses.
   *
   * <p>Without its rules for ligatures: joined letters would be shapes that no reader can select or
   * search for.
   */
  PDFont in(PDDocument document) throws IOException {
    try (InputStream in = open()) {
      TrueTypeFont font = new TTFParser().parse(new RandomAccessReadBuffer(in));
      font.setEnableGsub(false);
      document.registerTrueTypeFontForClosing(font);
      return PDType0Font.load(document, font, true);
    }
  }

  /** Rules that carry the fonts themselves, with no more characters than the page has. */
  static String css(String page) {
    Set<Integer> characters =
        page.codePoints().boxed().collect(Collectors.toCollection(TreeSet::new));
    StringBuilder css = new StringBuilder();
    for (Typeface face : values()) {
      css.append(
          String.format(
              Locale.ROOT,
              "@font-face { font-family: \"%s\"; font-weight: %d;"
                  + " src: url(data:font/ttf;base64,%s); }\n",
              face.family,
              face.weight,
              Base64.getEncoder().encodeToString(face.subset(characters))));
    }
    return css.toString();
  }

  private byte[] subset(Set<Integer> characters) {
    try (InputStream in = open();
        TrueTypeFont font = new TTFParser().parse(new RandomAccessReadBuffer(in))) {
      TTFSubsetter subsetter = new TTFSubsetter(font, KEPT);
      subsetter.addAll(characters);
      ByteArrayOutputStream bytes = new ByteArrayOutputStream();
      subsetter.writeToStream(bytes);
      return bytes.toByteArray();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
