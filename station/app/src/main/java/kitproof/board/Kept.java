package kitproof.board;

import java.util.Comparator;
import java.util.NavigableMap;
import java.util.TreeMap;
import java.util.function.Consumer;
import java.util.function.ToIntFunction;

/** What runs take of one kind of room; when it is full the oldest give way. */
final class Kept {
  /**
   * Which run: by its own name first, which begins with its time. The unit belongs to it, or a
   * damaged message could take the place of a run that is still to come.
   */
  record Name(String run, String shop, String product, String unit) {
    static final Comparator<Name> ORDER =
        Comparator.comparing(Name::run)
            .thenComparing(Name::shop)
            .thenComparing(Name::product)
            .thenComparing(Name::unit);

    static Name of(Told.Place place) {
      return new Name(place.run(), place.shop(), place.product(), place.unit());
    }
  }

  private final long most;
  private final ToIntFunction<Run> takes;
  private final Consumer<Run> giveWay;
  private final NavigableMap<Name, Run> runs = new TreeMap<>(Name.ORDER);
  private long bytes;

  /**
   * Empty.
   *
   * @param takes bytes of a run
   * @param giveWay makes a run take none
   */
  Kept(long most, ToIntFunction<Run> takes, Consumer<Run> giveWay) {
    this.most = most;
    this.takes = takes;
    this.giveWay = giveWay;
  }

  /**
   * A run has changed.
   *
   * @param had what it took before
   */
  void changed(Run run, int had) {
    int has = takes.applyAsInt(run);
    bytes += has - had;
    if (has > 0 && had == 0) {
      runs.put(Name.of(run.place), run);
    } else if (has == 0 && had > 0) {
      runs.remove(Name.of(run.place));
    }
    while (bytes > most && runs.size() > 1) {
      Run oldest = runs.pollFirstEntry().getValue();
      bytes -= takes.applyAsInt(oldest);
      giveWay.accept(oldest);
    }
  }

  /** A run is given up altogether. */
  void forget(Run run) {
    if (runs.remove(Name.of(run.place)) != null) {
      bytes -= takes.applyAsInt(run);
    }
  }
}
