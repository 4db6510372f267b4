package kitproof.screen;

import java.util.List;
import java.util.Optional;
import kitproof.run.StopEffect;
import kitproof.run.StopReach;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/** What the screen asks of the station it stands at. Called on threads of the server. */
public interface Station {
  /** The plans there are to choose from, as they are on disk now. */
  List<Choice> plans();

  /** The batches to choose from. */
  Batches batches();

  /**
   * Everything that would keep a plan from running on this bench; touches no hardware.
   *
   * @return empty if there is no such plan
   */
  Optional<List<Problem>> check(String plan);

  /** Starts a run, on a thread of its own, unless something is in its way. */
  Started start(Order order);

  /**
   * Asks the run to stop: the bench is made safe at once, the discharge is still watched, unless
   * that is to end too.
   */
  StopEffect stop(String reason, StopReach reach);

  /**
   * A plan to choose.
   *
   * @param id names it to {@link #start}; never a path
   * @param name as the plan says; the file's name if it cannot be read
   * @param serial what serial numbers look like, or null if the plan does not say
   * @param sound whether the file can be read as a plan
   */
  record Choice(
      String id,
      String name,
      String product,
      String revision,
      @Nullable String serial,
      boolean sound) {}

  /**
   * Batches.
   *
   * @param usual the one that units belong to unless the person says otherwise; empty if none
   * @param known those of which there are records
   */
  record Batches(String usual, List<String> known) {
    public Batches {
      known = List.copyOf(known);
    }
  }

  /**
   * What is to be run.
   *
   * @param plan the id of a choice
   * @param unit serial number, as typed or scanned
   * @param batch empty if none
   * @param again whether a unit that has passed is meant
   */
  record Order(String plan, String unit, String batch, boolean again) {}

  /**
   * What became of an order.
   *
   * @param begun whether a run has begun
   * @param refused why not, in a sentence; empty if for another reason
   * @param problems what is wrong with the files
   * @param passed the run in which the unit has passed already; null if it is not that
   */
  record Started(boolean begun, String refused, List<Problem> problems, @Nullable String passed) {
    /** It runs. */
    public static final Started BEGUN = new Started(true, "", List.of(), null);

    public Started {
      problems = List.copyOf(problems);
    }

    public static Started refused(String why) {
      return new Started(false, why, List.of(), null);
    }

    public static Started wrong(List<Problem> problems) {
      return new Started(false, "", problems, null);
    }

    public static Started passedBefore(String run) {
      return new Started(false, "", List.of(), run);
    }
  }
}
