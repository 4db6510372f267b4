package kitproof.report;

import java.util.List;

/**
 * What the report of a gauge study says, in words and drawings; statistics are made elsewhere.
 *
 * @param study its name
 * @param product what the units are
 * @param facts name and value by turns of what stands on the first page
 * @param able how many limits the station can judge: "12 of 14", and what that is of
 * @param rest what of the others: "1 with a guard band only, 1 not"
 * @param answers a sentence for each limit, the hardest first
 * @param charts of the results that are hardest to judge
 * @param results a row each
 * @param notes how the figures are to be read
 */
public record GaugeSheet(
    String study,
    String product,
    List<String> facts,
    BatchSheet.Share able,
    String rest,
    List<BatchSheet.Remark> answers,
    List<BatchSheet.Chart> charts,
    List<Line> results,
    List<String> notes) {
  public GaugeSheet {
    facts = List.copyOf(facts);
    answers = List.copyOf(answers);
    charts = List.copyOf(charts);
    results = List.copyOf(results);
    notes = List.copyOf(notes);
  }

  /** A result, its cells as words; empty where there is nothing to say. */
  public record Line(
      String tolerance,
      String bounds,
      String share,
      String kinds,
      String station,
      String repeatability,
      String reproducibility,
      String units,
      String ranges,
      String result,
      String when,
      String remarks) {}
}
