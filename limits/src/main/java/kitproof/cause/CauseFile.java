package kitproof.cause;

import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.document.Binder;
import kitproof.document.Parsed;
import kitproof.document.SchemaMaker;
import kitproof.document.YamlReader;
import kitproof.value.Node;
import kitproof.value.Problem;

/**
 * A product's table of probable causes. It suggests where to look after a failure; it judges
 * nothing, and no verdict rests on it.
 */
public final class CauseFile {
  /** Its name, in the folder of the product's limit files. */
  public static final String NAME = "causes.yaml";

  /** What a person has to hear before acting on a suggestion. */
  public static final String CAUTION =
      "Suggestions, not judgements. Work inside the amplifier is for the qualified: mains off and"
          + " unplugged, HV rail measured as discharged, before anything is touched.";

  /** Says nothing of anything. */
  public static final CauseFile NONE = new CauseFile(List.of());

  private final List<CauseDocument.Row> rows;

  private CauseFile(List<CauseDocument.Row> rows) {
    this.rows = List.copyOf(rows);
  }

  /**
   * Reads a file, or tells everything that is wrong with it.
   *
   * @param product what it has to be about
   */
  public static Parsed<CauseFile> read(Path file, String product) {
    return YamlReader.read(file).flatMap(section -> of(section, product));
  }

  /** Reads text; {@code name} stands for the file in messages. */
  public static Parsed<CauseFile> read(String name, String text, String product) {
    return YamlReader.read(name, text).flatMap(section -> of(section, product));
  }

  private static Parsed<CauseFile> of(Node.Mapping section, String product) {
    return new Binder()
        .bind(section, CauseDocument.class)
        .checked(
            document ->
                document.product().value().equals(product)
                    ? List.of()
                    : List.of(
                        Problem.of(
                            document.product().location(),
                            "product \"" + document.product().value() + "\"",
                            "\"" + product + "\", as the limits beside it")))
        .map(document -> new CauseFile(document.probable()));
  }

  /** The JSON Schema of such files. */
  public static String schema() {
    return new SchemaMaker().make(CauseDocument.class, "Causes");
  }

  /** Every name of a result that the table speaks of. */
  public Set<String> results() {
    return rows.stream()
        .flatMap(
            row ->
                Stream.concat(
                    row.signs().stream(),
                    row.butNot() == null ? Stream.of() : row.butNot().stream()))
        .map(CauseDocument.Sign::result)
        .collect(Collectors.toSet());
  }

  /**
   * What may be behind these results, in the order of the file.
   *
   * @param results of one run, in order
   */
  public List<Suggestion> suggest(List<Found> results) {
    return rows.stream().flatMap(row -> Signs.of(row, results)).toList();
  }
}
