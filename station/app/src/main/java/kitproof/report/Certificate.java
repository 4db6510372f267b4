package kitproof.report;

import java.util.List;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.plot.Plot;
import org.jspecify.annotations.Nullable;

/**
 * What a unit's record says, for the person who will own the unit: one page for screens, one
 * document for paper, each whole in itself.
 *
 * <p>Only a passed run is called a certificate; any other is a test report and says so on its first
 * page. The same record gives the same page.
 */
public final class Certificate extends Report {
  private final RunRecord record;
  private final String digest;
  private final @Nullable Maker maker;
  private final List<Plot> plots;

  /**
   * Of an ended run.
   *
   * @param digest of the record's document: "sha256:…"
   * @param maker null if the maker is not to be named
   * @throws IllegalArgumentException if the run goes on
   */
  public Certificate(RunRecord record, String digest, @Nullable Maker maker) {
    if (record.verdict() == null) {
      throw new IllegalArgumentException("run " + record.run() + " has not ended");
    }
    this.record = record;
    this.digest = digest;
    this.maker = maker;
    this.plots = CurveSheets.of(record);
  }

  /** "Certificate of test", or "Test report" of a unit that did not pass. */
  public String title() {
    return record.verdict() == Verdict.PASS ? "Certificate of test" : "Test report";
  }

  @Override
  Sheet sheet() {
    return new Sheet(
        title(),
        record.product() + " " + record.unit(),
        record.product() + " \u00b7 " + record.unit() + " \u00b7 " + title() + foot());
  }

  private String foot() {
    String words = CalibrationWords.foot(record);
    return words.isEmpty() ? "" : " \u00b7 " + words;
  }

  @Override
  void body(Markup page, boolean forPaper) {
    new FrontPage(page, record, maker, title()).write();
    new CurvePages(page, plots, forPaper).write();
    new ResultPages(page, record).write();
    new OriginPages(page, record, digest).write();
  }
}
