package kitproof.board;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/** The runs that are kept, within bounds, by name and by batch. */
final class Runs {
  /** By name first: a run's name begins with its time. */
  private record Name(String run, String shop) {
    static final Comparator<Name> ORDER = Comparator.comparing(Name::run).thenComparing(Name::shop);

    static Name of(Told.Place place) {
      return new Name(place.run(), place.shop());
    }
  }

  private final Bounds bounds;
  private final NavigableMap<Name, Run> all = new TreeMap<>(Name.ORDER);
  private final NavigableMap<Name, Run> detailed = new TreeMap<>(Name.ORDER);
  private final Map<BatchKey, Batch> batches = new LinkedHashMap<>();
  private long bytes;

  Runs(Bounds bounds) {
    this.bounds = bounds;
  }

  @Nullable Run find(Told.Place place) {
    return all.get(Name.of(place));
  }

  void add(Run run) {
    all.put(Name.of(run.place), run);
  }

  /**
   * Puts a run that has changed where it belongs.
   *
   * @param wasIn the batch it was in, or null
   * @param hadBytes what its results took
   * @return how many runs had to give way
   */
  int changed(Run run, @Nullable BatchKey wasIn, int hadBytes) {
    BatchKey now = key(run);
    if (wasIn != null && !wasIn.equals(now)) {
      leave(run, wasIn);
    }
    if (now != null && !now.equals(wasIn)) {
      batches.computeIfAbsent(now, Batch::new).add(run);
    }
    bytes += run.bytes - hadBytes;
    if (run.bytes > 0) {
      detailed.put(Name.of(run.place), run);
    }
    while (bytes > bounds.details() && detailed.size() > 1) {
      Run oldest = detailed.pollFirstEntry().getValue();
      bytes -= oldest.bytes;
      oldest.forgetResults();
    }
    int gone = 0;
    while (all.size() > bounds.runs()) {
      forget(all.pollFirstEntry().getValue());
      gone++;
    }
    return gone;
  }

  private void forget(Run run) {
    if (detailed.remove(Name.of(run.place)) != null) {
      bytes -= run.bytes;
    }
    BatchKey key = key(run);
    if (key != null) {
      leave(run, key);
    }
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
