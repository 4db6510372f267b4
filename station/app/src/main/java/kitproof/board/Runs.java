package kitproof.board;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/** The runs that are kept, within bounds, by name and by batch. */
final class Runs {
  /** Words that many runs share are kept once, up to this many. */
  private static final int MOST_SHARED = 10_000;

  /** Longer ones are no names that people give. */
  private static final int LONGEST_SHARED = 100;

  final ResultKinds kinds = new ResultKinds();
  private final Bounds bounds;
  private final NavigableMap<Kept.Name, Run> all = new TreeMap<>(Kept.Name.ORDER);
  private final Map<BatchKey, Batch> batches = new LinkedHashMap<>();
  private final Map<String, String> shared = new HashMap<>();
  private final Kept values;
  private final Kept details;
  private long words;

  /** The board's version when a run beside all batches changed last. */
  long besideVersion;

  Runs(Bounds bounds) {
    this.bounds = bounds;
    values = new Kept(bounds.briefs(), Run::valuesBytes, Run::forgetValues);
    details = new Kept(bounds.details(), run -> run.bytes, Run::forgetResults);
  }

  @Nullable Run find(Told.Place place) {
    return all.get(Kept.Name.of(place));
  }

  Run begin(Told.Place place, Instant heard) {
    Run run =
        new Run(
            new Told.Place(
                shared(place.shop()),
                shared(place.station()),
                place.run(),
                shared(place.product()),
                place.unit()),
            heard);
    all.put(Kept.Name.of(run.place), run);
    return run;
  }

  private String shared(String word) {
    String known = shared.get(word);
    if (known == null && shared.size() < MOST_SHARED && word.length() <= LONGEST_SHARED) {
      shared.put(word, word);
    }
    return known == null ? word : known;
  }

  /** What a run takes, before it changes. */
  record Before(@Nullable BatchKey batch, int values, int details, int words) {
    static Before of(Run run) {
      return new Before(key(run), run.valuesBytes(), run.bytes, run.words);
    }
  }

  /**
   * Puts a run that has changed where it belongs.
   *
   * @return how many runs had to give way
   */
  int changed(Run run, Before before) {
    Told.Kind kind = run.kind;
    if (kind != null) {
      run.kind = new Told.Kind(shared(kind.revision()), shared(kind.batch()), shared(kind.plan()));
    }
    BatchKey now = key(run);
    if (before.batch != null && !before.batch.equals(now)) {
      leave(run, before.batch);
    }
    if (now != null) {
      batches.computeIfAbsent(now, Batch::new).add(run);
    }
    if (run.isBesideBatches()) {
      besideVersion = Math.max(besideVersion, run.version);
    }
    values.changed(run, before.values);
    details.changed(run, before.details);
    run.words = run.words();
    words += run.words - before.words;
    int gone = 0;
    while (all.size() > bounds.runs() || (words > bounds.words() && all.size() > 1)) {
      forget(all.pollFirstEntry().getValue());
      gone++;
    }
    return gone;
  }

  private void forget(Run run) {
    values.forget(run);
    details.forget(run);
    words -= run.words;
    BatchKey key = key(run);
    if (key != null) {
      leave(run, key);
    }
    run.forget();
  }

  private void leave(Run run, BatchKey key) {
    Batch batch = batches.get(key);
    if (batch != null) {
      batch.remove(run);
      if (batch.isEmpty()) {
        batches.remove(key);
      }
    }
  }

  static @Nullable BatchKey key(Run run) {
    Told.Kind kind = run.kind;
    return kind == null ? null : new BatchKey(run.place.shop(), run.place.product(), kind.batch());
  }

  @Nullable Batch batch(BatchKey key) {
    return batches.get(key);
  }

  Collection<Batch> batches() {
    return batches.values();
  }

  /**
   * Every run of a shop that could be one of a check standard: such a run is no unit's of a batch.
   */
  List<Run> besideBatches(String shop) {
    return all.values().stream()
        .filter(run -> run.place.shop().equals(shop) && run.isBesideBatches())
        .toList();
  }

  /** Every run of a unit in whichever batch, the oldest first. */
  List<Run> ofUnit(String shop, String product, String unit) {
    List<Run> runs = new ArrayList<>();
    for (Batch batch : batches.values()) {
      if (batch.key.shop().equals(shop) && batch.key.product().equals(product)) {
        runs.addAll(batch.runs(unit));
      }
    }
    runs.sort(Comparator.comparing((Run r) -> r.place.run()));
    return runs;
  }
}
