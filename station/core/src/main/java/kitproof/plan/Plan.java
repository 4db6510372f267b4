package kitproof.plan;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import kitproof.interlock.Interlock;
import kitproof.value.Node;

/**
 * What is to be done to a unit, in order.
 *
 * @param name the plan's name
 * @param product what it tests
 * @param revision of the product
 * @param serial what serial numbers look like, if it is stated
 * @param limits the limit file
 * @param steps repetition written out
 * @param shutDown done at the end whenever mains has been on
 * @param interlocks watched beside the steps
 * @param captures whose captures are kept beside the record, and in which form
 * @param source the file's content, for places in messages
 */
public record Plan(
    String name,
    String product,
    String revision,
    Optional<Pattern> serial,
    Path limits,
    List<PlanStep> steps,
    List<PlanStep> shutDown,
    List<Interlock> interlocks,
    KeptCaptures captures,
    Node.Mapping source) {
  /** Steps that ask or tell the person, and measure nothing. */
  private static final Set<String> OF_A_PERSON = Set.of("prompt", "entry");

  /** One that keeps no captures. */
  public Plan(
      String name,
      String product,
      String revision,
      Optional<Pattern> serial,
      Path limits,
      List<PlanStep> steps,
      List<PlanStep> shutDown,
      List<Interlock> interlocks,
      Node.Mapping source) {
    this(
        name,
        product,
        revision,
        serial,
        limits,
        steps,
        shutDown,
        interlocks,
        KeptCaptures.NONE,
        source);
  }

  public Plan {
    steps = List.copyOf(steps);
    shutDown = List.copyOf(shutDown);
    interlocks = List.copyOf(interlocks);
  }

  /** Whether it calibrates: whether any of its steps does. */
  public boolean calibrates() {
    return steps.stream().anyMatch(step -> step.procedure().id().startsWith("calibrate-"));
  }

  /**
   * Whether it does nothing but what is done at the station itself: calibrate or check it, and ask
   * or tell the person.
   */
  public boolean isOfTheStation() {
    return Stream.concat(steps.stream(), shutDown.stream())
        .map(step -> step.procedure().id())
        .allMatch(
            id ->
                id.startsWith("calibrate-") || id.startsWith("check-") || OF_A_PERSON.contains(id));
  }

  /** For how many days what it calibrates holds; 0 if it does not say. */
  public int holdsDays() {
    return source
        .get("holds-days")
        .map(node -> node instanceof Node.Scalar said ? Integer.parseInt(said.text().strip()) : 0)
        .orElse(0);
  }

  /** Whether it may run on a bench without a calibration that holds. */
  public boolean uncalibrated() {
    return source
        .get("uncalibrated")
        .filter(node -> node instanceof Node.Scalar said && said.text().equals("true"))
        .isPresent();
  }
}
