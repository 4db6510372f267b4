package kitproof.limit;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import kitproof.document.Binder;
import kitproof.document.Located;
import kitproof.document.Parsed;
import kitproof.document.SchemaMaker;
import kitproof.document.YamlReader;
import kitproof.value.Location;
import kitproof.value.Node;

/**
 * The limits of one revision of a product.
 *
 * <p>Sound by construction: it comes from {@link #read}, which finds contradictions and limits
 * between which no result could choose. {@link Judge} applies it.
 */
public final class LimitFile {
  /** What stands under {@code signed-off-by} until a person has read proposed limits. */
  public static final String NOBODY = "nobody";

  private final LimitDocument document;
  private final List<LimitEntry> entries;

  private LimitFile(LimitDocument document) {
    this.document = document;
    this.entries = document.entries();
  }

  /** Reads a file, or tells everything that is wrong with it. */
  public static Parsed<LimitFile> read(Path file) {
    return YamlReader.read(file).flatMap(LimitFile::of);
  }

  /** Reads text; {@code name} stands for the file in messages. */
  public static Parsed<LimitFile> read(String name, String text) {
    return YamlReader.read(name, text).flatMap(LimitFile::of);
  }

  private static Parsed<LimitFile> of(Node.Mapping section) {
    return new Binder().bind(section, LimitDocument.class).map(LimitFile::new);
  }

  /** The JSON Schema of limit files. */
  public static String schema() {
    return new SchemaMaker().make(LimitDocument.class, "Limits");
  }

  /** The name of this set of limits. */
  public String name() {
    return document.name();
  }

  public String product() {
    return document.product();
  }

  public String revision() {
    return document.revision();
  }

  public DecisionRule rule() {
    return document.rule();
  }

  /**
   * Of guarded acceptance: the least probability with which an accepted value conforms, such as
   * 0.95.
   */
  public double conformance() {
    return acceptance().conformance();
  }

  /**
   * Where a proposal says that nobody has signed it off yet, or no name; empty for all other
   * limits.
   */
  public Optional<Location> unsigned() {
    Located<String> by = document.signedOffBy();
    return by == null || !(by.value().isBlank() || by.value().strip().equalsIgnoreCase(NOBODY))
        ? Optional.empty()
        : Optional.of(by.location());
  }

  Acceptance acceptance() {
    return document.acceptance();
  }

  /** Every limit in the order of the file. */
  public List<LimitEntry> entries() {
    return entries;
  }
}
