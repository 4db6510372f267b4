package kitproof.report;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import kitproof.document.Binder;
import kitproof.document.Located;
import kitproof.document.Parsed;
import kitproof.document.SchemaMaker;
import kitproof.document.YamlReader;
import kitproof.value.Problem;

/** Reads the file in which a maker says what stands on certificates. */
public final class MakerFile {
  /** More than a sharp picture needs, and less than what would weigh every certificate down. */
  private static final long MOST_BYTES = 1 << 20;

  private MakerFile() {}

  /** Reads a file and its picture, or tells everything that is wrong with it. */
  public static Parsed<Maker> read(Path file) {
    return YamlReader.read(file)
        .flatMap(section -> new Binder().bind(section, MakerDocument.class))
        .flatMap(document -> with(document, file));
  }

  /** The JSON Schema of maker files. */
  public static String schema() {
    return new SchemaMaker().make(MakerDocument.class, "Maker");
  }

  private static Parsed<Maker> with(MakerDocument document, Path file) {
    List<String> address = document.address() == null ? List.of() : document.address();
    String motto = document.motto() == null ? "" : document.motto();
    Located<String> logo = document.logo();
    if (logo == null) {
      return Parsed.of(new Maker(document.name(), address, motto, null));
    }
    return logo(logo, file).map(picture -> new Maker(document.name(), address, motto, picture));
  }

  private static Parsed<Logo> logo(Located<String> named, Path file) {
    String found = "logo: \"" + named.value() + "\"";
    String expected = "the path from this file to a PNG or JPEG picture";
    try {
      Path picture = file.resolveSibling(named.value());
      if (Files.size(picture) > MOST_BYTES) {
        return wrong(
            named, found + ", " + Files.size(picture) + " bytes", "a picture of 1 MB at most");
      }
      return Parsed.of(Logo.of(Files.readAllBytes(picture)));
    } catch (IllegalArgumentException e) {
      return e instanceof InvalidPathException
          ? wrong(named, found, expected)
          : wrong(named, found + ", which is something else", String.valueOf(e.getMessage()));
    } catch (NoSuchFileException e) {
      return wrong(named, found + ", where there is no file", expected);
    } catch (IOException e) {
      return wrong(named, found + ", which cannot be read", expected);
    }
  }

  private static Parsed<Logo> wrong(Located<String> named, String found, String expected) {
    return Parsed.wrong(List.of(Problem.of(named.location(), found, expected)));
  }
}
