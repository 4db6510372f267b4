package kitproof.batch;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Binder;
import kitproof.document.Key;
import kitproof.document.Located;
import kitproof.document.Meaning;
import kitproof.document.Parsed;
import kitproof.document.SelfChecked;
import kitproof.document.YamlReader;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * What makes two units a pair, as a file says it.
 *
 * <pre>
 * pairs: stereo pairs
 * compare:
 *   - {result: gain, when: {tap: 8 ohm}, difference: 0.1 dB}
 *   - {result: frequency response, difference: 0.2 dB}
 * </pre>
 *
 * Each difference counts as many times as it is larger than the one written here.
 *
 * @param name of these rules
 * @param compare what is compared
 */
public record PairRules(
    @Key("pairs") @Meaning("A name for this way of matching") String name,
    @Meaning("The results to compare") List<Located<Row>> compare)
    implements SelfChecked {
  /**
   * One kind of result.
   *
   * @param result its name
   * @param when conditions; any if left out
   * @param difference that counts as 1, above zero; of a curve, its root mean square
   */
  public record Row(
      @Meaning("The name of the result, such as gain") String result,
      @Meaning("The conditions it is compared under; any if left out") @Nullable Conditions when,
      @Meaning("The difference that counts as 1, such as 0.1 dB; smaller weighs more")
          Located<Quantity> difference) {
    Conditions conditions() {
      return when == null ? Conditions.NONE : when;
    }
  }

  /** Reads a file, or tells everything that is wrong with it. */
  public static Parsed<PairRules> read(Path file) {
    return YamlReader.read(file).flatMap(section -> new Binder().bind(section, PairRules.class));
  }

  @Override
  public List<Problem> problems(Location section) {
    List<Problem> found = new ArrayList<>();
    for (Located<Row> row : compare) {
      Located<Quantity> difference = row.value().difference();
      if (!(difference.value().value() > 0)) {
        found.add(
            Problem.of(
                difference.location(),
                "difference: " + difference.value().display(),
                "a difference above zero"));
      }
    }
    return found;
  }
}
