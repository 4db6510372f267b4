package kitproof.report;

import java.util.ArrayList;
import java.util.List;
import kitproof.value.Conditions;
import org.jspecify.annotations.Nullable;

/**
 * What a batch report says, in words and drawings; statistics are made elsewhere.
 *
 * @param batch its name
 * @param product what its units are; empty if they are of several
 * @param facts name and value by turns of what stands on the first page
 * @param firstPass share of units that passed at once, as words; "no attempt" if none was made
 * @param finalPass share of units whose last attempt passed
 * @param failures drawing of what failed in first attempts, or null if nothing did
 * @param strangers units unlike their sisters, the strangest
 * @param movers results that move or go with something, the surest
 * @param remarks everything that is worth a look, result by result
 * @param charts of results, as many as can be looked at
 * @param results a row each, the least capable first
 * @param units a row each
 * @param unitsLeftOut how many more there are
 * @param notes how the figures are to be read
 */
public record BatchSheet(
    String batch,
    String product,
    List<String> facts,
    Share firstPass,
    Share finalPass,
    @Nullable String failures,
    List<Remark> strangers,
    List<Remark> movers,
    List<Remark> remarks,
    List<Chart> charts,
    List<ResultLine> results,
    List<UnitLine> units,
    int unitsLeftOut,
    List<String> notes) {
  private static final int MOST_ON_FRONT = 3;

  public BatchSheet {
    facts = List.copyOf(facts);
    strangers = List.copyOf(strangers);
    movers = List.copyOf(movers);
    remarks = List.copyOf(remarks);
    charts = List.copyOf(charts);
    results = List.copyOf(results);
    units = List.copyOf(units);
    notes = List.copyOf(notes);
  }

  /** The same with these remarks before the others, the first of them on the first page. */
  public BatchSheet worth(List<Remark> more) {
    List<Remark> front = new ArrayList<>(more.subList(0, Math.min(MOST_ON_FRONT, more.size())));
    front.addAll(movers);
    List<Remark> all = new ArrayList<>(more);
    all.addAll(remarks);
    return new BatchSheet(
        batch,
        product,
        facts,
        firstPass,
        finalPass,
        failures,
        strangers,
        front,
        all,
        charts,
        results,
        units,
        unitsLeftOut,
        notes);
  }

  /** A part of the units: "95.0 %", "19 of 20; with 95 % confidence 75.1 % to 99.9 %". */
  public record Share(String figure, String words) {}

  /** What is worth a look in a result or a unit. */
  public record Remark(String of, List<String> words) {
    public Remark {
      words = List.copyOf(words);
    }
  }

  /** A drawing without the declaration of a document, and what it shows. */
  public record Chart(String svg, String shown) {}

  /** A result over the units, its cells as words; empty where there is nothing to say. */
  public record ResultLine(
      String result,
      Conditions when,
      String units,
      String mean,
      String deviation,
      String limit,
      String cp,
      String cpBounds,
      String cpk,
      String cpkBounds,
      String warnings) {}

  /** A unit, its cells as words. */
  public record UnitLine(
      String serial,
      String tested,
      String station,
      String attempts,
      String first,
      String last,
      String failed) {}
}
