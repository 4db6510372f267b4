package kitproof.screen;

import java.util.List;
import java.util.Optional;
import kitproof.calibration.Entered;
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

  /** The instruments of the bench, and what the calibration file has of their papers. */
  List<Instrument> instruments();

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
   * @param calibrates whether it calibrates the bench
   */
  record Choice(
      String id,
      String name,
      String product,
      String revision,
      @Nullable String serial,
      boolean sound,
      boolean calibrates) {}

  /**
   * An instrument of the bench.
   *
   * @param functions of a meter; none of anything else
   * @param papers what of its papers stands in the calibration file, a line each
   */
  record Instrument(String role, List<String> functions, List<String> papers) {
    public Instrument {
      functions = List.copyOf(functions);
      papers = List.copyOf(papers);
    }
  }

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
   * @param opening who opens the station's lock for this run, and why; null if nobody does
   * @param entered of the instruments' papers, where the plan calibrates
   */
  record Order(
      String plan,
      String unit,
      String batch,
      boolean again,
      @Nullable Opening opening,
      Entered entered) {
    /** One that opens no lock and enters nothing. */
    public Order(String plan, String unit, String batch, boolean again) {
      this(plan, unit, batch, again, null, Entered.NOTHING);
    }
  }

  /**
   * Somebody opens the station's lock for a run.
   *
   * @param name the person
   * @param reason in words
   */
  record Opening(String name, String reason) {}

  /**
   * What became of an order.
   *
   * @param begun whether a run has begun
   * @param refused why not, in a sentence; empty if for another reason
   * @param problems what is wrong with the files
   * @param passed the run in which the unit has passed already; null if it is not that
   * @param locked whether the station is locked, which a named person may open
   */
  record Started(
      boolean begun,
      String refused,
      List<Problem> problems,
      @Nullable String passed,
      boolean locked) {
    /** It runs. */
    public static final Started BEGUN = new Started(true, "", List.of(), null, false);

    public Started {
      problems = List.copyOf(problems);
    }

    public static Started refused(String why) {
      return new Started(false, why, List.of(), null, false);
    }

    public static Started locked(String why) {
      return new Started(false, why, List.of(), null, true);
    }

    public static Started wrong(List<Problem> problems) {
      return new Started(false, "", problems, null, false);
    }

    public static Started passedBefore(String run) {
      return new Started(false, "", List.of(), run, false);
    }
  }
}
