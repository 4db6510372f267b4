package kitproof.cause;

import java.util.List;

/**
 * What may be behind failed results; a suggestion, not a judgement.
 *
 * @param cause what it usually is
 * @param look where to look, or what to do, to find out; may be empty
 * @param where what it holds for, such as "channel left"; empty if for the unit as a whole
 * @param because titles of the results that point to it, the first few
 */
public record Suggestion(String cause, String look, String where, List<String> because) {
  public Suggestion {
    because = List.copyOf(because);
  }
}
