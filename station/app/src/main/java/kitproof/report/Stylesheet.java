package kitproof.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Locale;

/** How a certificate looks. */
final class Stylesheet {
  private static final String COMMON = resource("certificate.css");
  private static final String SCREEN = resource("screen.css");
  private static final String SHEET = resource("sheet.css");

  private Stylesheet() {}

  /** For browsers, which print it on this paper too. */
  static String forScreens(Paper paper, String fonts) {
    return fonts + COMMON + SCREEN + size(paper);
  }

  static String forPaper(Paper paper) {
    return COMMON + SHEET + size(paper);
  }

  private static String size(Paper paper) {
    return String.format(
        Locale.ROOT, "@page { size: %smm %smm; }\n", paper.width(), paper.height());
  }

  private static String resource(String name) {
    try (InputStream in = Stylesheet.class.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalStateException("the program lacks its file " + name);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
