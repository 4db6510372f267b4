package kitproof.report;

import java.io.IOException;
import java.util.List;
import kitproof.event.Event;

/**
 * A report: one page for screens and one document for paper, each whole in itself. The same
 * findings give the same page.
 */
public abstract sealed class Report
    permits BatchReport, Certificate, GaugeStudyReport, WorkshopSheet {

  /** The page for screens, with its fonts in it; it prints as well. */
  public final String html(Paper paper) {
    return sheet().html(paper, this::body);
  }

  /**
   * The document for paper: PDF, tagged, its fonts embedded.
   *
   * @throws IOException if it cannot be made
   */
  public final byte[] pdf(Paper paper) throws IOException {
    return sheet().pdf(paper, this::body);
  }

  /** What stands on every page of it. */
  abstract Sheet sheet();

  /**
   * For the foot of every sheet, where some runs were made without a calibration.
   *
   * @param facts as the front of the report gives them
   * @return empty if all runs were calibrated
   */
  static String uncalibrated(List<String> facts) {
    return facts.stream()
        .filter(fact -> fact.contains(Event.CalibrationTold.UNCALIBRATED))
        .map(fact -> " \u00b7 " + fact)
        .findFirst()
        .orElse("");
  }

  /** Writes what is between head and foot; see {@link Sheet.Body}. */
  abstract void body(Markup page, boolean forPaper);
}
