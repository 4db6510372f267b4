package kitproof.board;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The kinds of results that have been told, each once and by number, within a bound. */
final class ResultKinds {
  /** A product with every mode, tap and load has some hundreds. */
  static final int MOST = 10_000;

  /** Letters of all their words together; those of a product come to some ten thousands. */
  static final int MOST_LETTERS = 4_000_000;

  private final Map<ResultKind, Integer> numbers = new HashMap<>();
  private final List<ResultKind> kinds = new ArrayList<>();
  private int letters;

  /** Its number, from 0; -1 if there is no room for another. */
  int number(ResultKind kind) {
    Integer known = numbers.get(kind);
    if (known != null) {
      return known;
    }
    int more = kind.name().length() + kind.conditions().toString().length() + kind.limit().length();
    if (kinds.size() >= MOST || letters + more > MOST_LETTERS) {
      return -1;
    }
    letters += more;
    numbers.put(kind, kinds.size());
    kinds.add(kind);
    return kinds.size() - 1;
  }

  ResultKind get(int number) {
    return kinds.get(number);
  }

  int size() {
    return kinds.size();
  }
}
