package kitproof.calibration;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/**
 * Writes a calibration file from the results of a calibration's run: the fold of measurements to
 * what {@link Calibration} reads. What the file before says of the same instruments is taken over.
 */
public final class CalibrationText {
  private static final String SCHEMA_LINE = "# yaml-language-server: $schema=";

  private CalibrationText() {}

  /**
   * Where a calibration comes from.
   *
   * @param bench the bench's name
   * @param date the day of the run
   * @param due the last day on which it will hold; null for a simulated bench
   * @param by who did it; may be empty
   * @param record the run
   * @param identities role to identity of the instruments that were there
   * @param entered of the instruments, anew; what is not is taken over
   */
  public record Origin(
      String bench,
      LocalDate date,
      @Nullable LocalDate due,
      String by,
      String record,
      Map<String, String> identities,
      Entered entered) {
    /** With nothing entered anew. */
    public Origin(
        String bench,
        LocalDate date,
        @Nullable LocalDate due,
        String by,
        String record,
        Map<String, String> identities) {
      this(bench, date, due, by, record, identities, Entered.NOTHING);
    }
  }

  /**
   * The text of a file.
   *
   * @param schema path of the schema, for editors
   * @param found what the run has found; results that are no part of a calibration are passed over
   * @param before the file that it replaces; its certificates, limits of error and corrections of
   *     the same instruments are taken over
   * @throws IllegalArgumentException if a result is invalid, or there is none at all
   */
  public static String of(
      String schema, Origin origin, List<Measurement> found, Optional<Calibration> before) {
    List<String> lines = new ArrayList<>();
    lines.add(SCHEMA_LINE + schema);
    lines.add(
        "# Written by \"kitproof calibrate\"; certificates and limits of error are yours to add.");
    lines.add("bench: " + quoted(origin.bench));
    lines.add("date: " + origin.date);
    if (origin.due != null) {
      lines.add("due: " + origin.due);
    }
    if (!origin.by.isEmpty()) {
      lines.add("by: " + quoted(origin.by));
    }
    lines.add("record: " + quoted(origin.record));
    lines.addAll(FoundLines.room(found));
    lines.addAll(InstrumentLines.of(origin.identities, origin.entered, before));
    List<String> entries = FoundLines.of(found);
    if (entries.isEmpty()) {
      throw new IllegalArgumentException("no result of a calibration in run " + origin.record);
    }
    lines.addAll(entries);
    return String.join("\n", lines) + "\n";
  }

  /**
   * What of the file before does not go over into a new one, as the instrument is another now or no
   * longer there.
   *
   * @param identities role to identity of the instruments that are there
   * @return for people, a line an instrument
   */
  public static List<String> dropped(Calibration before, Map<String, String> identities) {
    return InstrumentLines.dropped(before, identities);
  }

  static String quoted(String text) {
    return "\"" + text.replace("\\", "\\\\").replace("\"", "\\\"") + "\"";
  }
}
