package kitproof.calibration;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/**
 * How a bench stands to its calibration: calibrated, uncalibrated, being calibrated, or in no need
 * of it because it is simulated without errors.
 *
 * @param calibration what corrections come from; empty if nothing is corrected but meters, perhaps
 * @param meters what the readings of meters are corrected by: the same, or while a bench is being
 *     calibrated the file before, of which only that counts
 * @param told what a run tells of it first, a sentence each without full stop; empty if nothing
 * @param note what each figure of a run is marked with; empty if with nothing
 */
public record Standing(
    Optional<Calibration> calibration,
    Optional<Calibration> meters,
    List<String> told,
    String note) {
  /** What every figure of an uncalibrated bench is marked with. */
  public static final String UNCALIBRATED = "uncalibrated";

  /** Of a bench that nothing is known of, and nothing need be said of. */
  public static final Standing NONE = of(Optional.empty(), List.of(), "");

  /** What figures of a station are marked with whose lock somebody has opened begins with this. */
  public static final String OVERRIDDEN = "station lock overridden by ";

  /** What is told of an uncalibrated bench begins with this. */
  private static final String TOLD = "UNCALIBRATED: ";

  /** What is told of a bench that is being calibrated begins with this. */
  private static final String CALIBRATES = TOLD + "this run calibrates the bench";

  /** What is told of a simulated bench without a calibration, which needs none. */
  private static final String EXACT = "simulated bench, taken as exact";

  /** What is told of a calibrated one begins with this. */
  private static final String CALIBRATED = "calibrated on ";

  /** What is corrected is told behind this. */
  private static final String CORRECTED = "corrected: ";

  public Standing {
    told = List.copyOf(told);
  }

  private static Standing of(Optional<Calibration> calibration, List<String> told, String note) {
    return new Standing(calibration, calibration, told, note);
  }

  /**
   * Of a bench whose figures are as its instruments show them.
   *
   * @param why what is wrong with its calibration
   */
  public static Standing uncalibrated(String why) {
    return of(
        Optional.empty(),
        List.of(TOLD + "no figure of this run is corrected or known to any accuracy (" + why + ")"),
        UNCALIBRATED);
  }

  /**
   * Of a bench that is being calibrated: its figures are as its instruments show them, but for what
   * the certificates of meters say is to be taken out of their readings. Of which meters that is
   * done is known only when they have said who they are: {@link #corrected}.
   *
   * @param before the file that will be replaced
   */
  public static Standing calibrating(Optional<Calibration> before) {
    Optional<Calibration> meters = before.filter(by -> !by.meterCorrections().isEmpty());
    String figures = CALIBRATES + ", its figures are as the instruments show them";
    String but = meters.isPresent() ? ", but for what is told as corrected" : "";
    return new Standing(Optional.empty(), meters, List.of(figures + but), UNCALIBRATED);
  }

  /**
   * What is told of the corrections once the instruments have said who they are.
   *
   * @param opened role to identity, as the instruments say
   * @return empty if nothing is corrected, or what is has been told before
   */
  public Optional<String> corrected(Map<String, String> opened) {
    if (calibration.isPresent()) {
      return Optional.empty();
    }
    return meters
        .map(by -> by.meterCorrections(opened))
        .filter(lines -> !lines.isEmpty())
        .map(lines -> CORRECTED + String.join("; ", lines));
  }

  /**
   * What a figure's note says of the bench that it was measured on: its first words, as {@link
   * #note} put them there.
   *
   * @param note of a figure on record
   * @return empty if it says nothing of the bench
   */
  public static String markOf(String note) {
    return Arrays.stream(note.split("; "))
        .takeWhile(part -> part.equals(UNCALIBRATED) || part.startsWith(OVERRIDDEN))
        .collect(Collectors.joining("; "));
  }

  /** What is told of the calibration itself; empty if nothing need be. */
  public Optional<String> ofCalibration() {
    return told.stream()
        .filter(t -> t.startsWith(TOLD) || t.startsWith(CALIBRATED) || t.equals(EXACT))
        .findFirst();
  }

  /**
   * Whether what is told of a calibration, as by {@link #ofCalibration}, says that a run makes it.
   */
  public static boolean isMaking(String told) {
    return told.startsWith(CALIBRATES);
  }

  /** Whether nothing is known of how far its figures are from the truth. */
  public boolean isUncalibrated() {
    return told.stream().anyMatch(t -> t.startsWith(TOLD));
  }

  /**
   * The same, of which a run says something more.
   *
   * @param more told first, a sentence without full stop
   * @param mark what each figure is marked with besides
   */
  public Standing saying(String more, String mark) {
    List<String> all = new ArrayList<>(List.of(more));
    all.addAll(told);
    return new Standing(calibration, meters, all, note.isEmpty() ? mark : note + "; " + mark);
  }

  /** Of a simulated bench that nothing says any error of. */
  public static Standing exact() {
    return of(Optional.empty(), List.of(EXACT), "");
  }

  /** Of a bench whose calibration holds. */
  public static Standing calibrated(Calibration calibration) {
    String first =
        CALIBRATED
            + calibration.date()
            + calibration.firstDue().map(due -> ", holds until " + due).orElse("")
            + (calibration.record().isEmpty() ? "" : ", run " + calibration.record());
    List<String> corrections = calibration.corrections();
    return of(
        Optional.of(calibration),
        corrections.isEmpty()
            ? List.of(first)
            : List.of(first, CORRECTED + String.join("; ", corrections)),
        "");
  }
}
