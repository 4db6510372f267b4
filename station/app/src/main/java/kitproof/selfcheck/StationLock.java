package kitproof.selfcheck;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.journal.Durable;
import kitproof.journal.SafeName;

/**
 * What the last check of a station came to: a small file in the folder of records. Without the file
 * the station has not been checked, so that losing it opens nothing.
 *
 * @param station the station
 * @param run the run that checked it
 * @param at when that was
 * @param calibration digest of the calibration that it was held against; empty if there was none
 * @param reasons what locks it; empty if nothing does
 */
public record StationLock(
    String station, String run, Instant at, String calibration, List<String> reasons) {
  private static final ObjectMapper JSON = new ObjectMapper();

  public StationLock {
    reasons = List.copyOf(reasons);
  }

  /** Where the state of a station is. */
  public static Path file(Path records, String station) {
    return records.resolve(SafeName.ofFile(station) + ".selfcheck");
  }

  /**
   * The last state that was written.
   *
   * @throws IOException if the file is there and cannot be read
   */
  public static Optional<StationLock> read(Path records, String station) throws IOException {
    Path file = file(records, station);
    if (!Files.exists(file)) {
      return Optional.empty();
    }
    try {
      JsonNode tree = JSON.readTree(Files.readString(file));
      List<String> reasons = new ArrayList<>();
      tree.required("reasons").forEach(reason -> reasons.add(reason.asText()));
      return Optional.of(
          new StationLock(
              tree.required("station").asText(),
              tree.required("run").asText(),
              Instant.parse(tree.required("at").asText()),
              tree.required("calibration").asText(),
              reasons));
    } catch (IOException | IllegalArgumentException | DateTimeParseException e) {
      throw new IOException(
          file + " is damaged: " + e.getMessage() + "; remove it and selfcheck again", e);
    }
  }

  /** Writes it in the place of the one before. */
  public void write(Path records) throws IOException {
    ObjectNode tree = JSON.createObjectNode();
    tree.put("station", station);
    tree.put("run", run);
    tree.put("at", at.toString());
    tree.put("calibration", calibration);
    reasons.forEach(tree.putArray("reasons")::add);
    Durable.replace(
        file(records, station),
        JSON.writerWithDefaultPrettyPrinter().writeValueAsString(tree) + "\n",
        true);
  }

  /**
   * Why the station is locked; empty if it is not.
   *
   * @param last its last check, if there was any
   * @param every how long a check holds
   * @param calibration digest of the calibration that runs use now; empty if there is none
   * @param now the moment
   */
  public static List<String> reasons(
      Optional<StationLock> last, Duration every, String calibration, Instant now) {
    if (last.isEmpty()) {
      return List.of("it has not been checked yet");
    }
    StationLock of = last.get();
    if (!of.reasons.isEmpty()) {
      return of.reasons;
    }
    if (calibration.isEmpty() && !of.calibration.isEmpty()) {
      return List.of("runs are uncalibrated, its last check, run " + of.run + ", was not");
    }
    if (!of.calibration.equals(calibration)) {
      return List.of("its calibration is another one than at its last check, run " + of.run);
    }
    Duration age = Duration.between(of.at, now);
    return age.compareTo(every) > 0
        ? List.of(
            "its last check, run "
                + of.run
                + ", is "
                + hours(age)
                + " h old and holds for "
                + hours(every)
                + " h")
        : List.of();
  }

  private static long hours(Duration time) {
    return Math.round(Math.floor(time.toMinutes() / 60.0));
  }
}
