package kitproof.report;

import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/** The first page: whose unit, which unit, how it did, and what a customer wants to know of it. */
final class FrontPage {
  /** More would push everything else from the page; all stand in the table of results. */
  private static final int MOST_FAILURES = 4;

  private final Markup page;
  private final RunRecord record;
  private final @Nullable Maker maker;
  private final String title;

  FrontPage(Markup page, RunRecord record, @Nullable Maker maker, String title) {
    this.page = page;
    this.record = record;
    this.maker = maker;
    this.title = title;
  }

  void write() {
    page.begin("div", "class", "front");
    if (maker != null) {
      Sheet.letterhead(page, maker);
    }
    page.element("h1", title);
    page.element(
        "p", Wording.set(record.product() + ", revision " + record.revision()), "class", "product");
    plate();
    statement();
    new HeadlineTable(page, Headline.of(record)).write();
    facts();
    if (maker != null && record.verdict() == Verdict.PASS) {
      signature(maker);
    }
    page.end();
  }

  private void plate() {
    boolean passed = record.verdict() == Verdict.PASS;
    page.begin("div", "class", "plate")
        .begin("div", "class", "serial")
        .element("p", "Serial number", "class", "label")
        .element("p", record.unit(), "class", "number")
        .end()
        .begin("div", "class", "verdict")
        .element("p", verdict(), "class", passed ? "stamp passed" : "stamp")
        .end()
        .end();
  }

  private String verdict() {
    Verdict verdict = record.verdict();
    return verdict == Verdict.PASS
        ? "Passed"
        : verdict == Verdict.FAIL ? "Did not pass" : "Not completed";
  }

  private void statement() {
    List<RunRecord.Result> all =
        record.steps().stream().flatMap(step -> step.results().stream()).toList();
    long judged = all.stream().filter(r -> r.judgement().outcome() != Outcome.NOT_JUDGED).count();
    List<RunRecord.Result> failed =
        all.stream().filter(r -> r.judgement().outcome().fails()).toList();
    page.begin("div", "class", "statement");
    if (record.verdict() == Verdict.PASS) {
      page.element(
          "p",
          "Every one of the "
              + judged
              + " results that have a limit held it, on "
              + Wording.day(record.started())
              + ".");
    } else if (record.verdict() == Verdict.FAIL) {
      page.element(
          "p", failed.size() + " of the " + judged + " results that have a limit did not hold it:");
    } else {
      page.element(
          "p",
          "The test ended before it was complete: "
              + Wording.set(record.reason())
              + ". What was measured until then follows; it is no statement that the unit is"
              + " good.");
    }
    failures(failed);
    page.end();
  }

  private void failures(List<RunRecord.Result> failed) {
    if (failed.isEmpty()) {
      return;
    }
    page.begin("ul");
    failed.stream().limit(MOST_FAILURES).forEach(this::failure);
    page.end();
    if (failed.size() > MOST_FAILURES) {
      page.element(
          "p", "and " + (failed.size() - MOST_FAILURES) + " more, in the table of results.");
    }
  }

  private void failure(RunRecord.Result result) {
    Measurement measurement = result.measurement();
    page.begin("li")
        .element("b", Wording.set(measurement.name()))
        .words(": " + Wording.set(result.judgement().detail()));
    String when = Brief.of(measurement.conditions());
    if (!when.isEmpty()) {
      page.words(" ").element("span", when, "class", "small");
    }
    page.end();
  }

  private void facts() {
    Map<String, String> facts = new LinkedHashMap<>();
    facts.put("Tested", Wording.minute(record.started()));
    Instant ended = record.ended();
    if (ended != null) {
      long minutes =
          Math.round((ended.toEpochMilli() - record.started().toEpochMilli()) / 60_000.0);
      facts.put("Took", minutes < 1 ? "less than a minute" : minutes + " min");
    }
    facts.put("Station", place());
    facts.put("Test plan", record.plan());
    facts.put("Calibration", Wording.capital(CalibrationWords.of(record)));
    if (!record.batch().isEmpty()) {
      facts.put("Batch", record.batch());
    }
    page.begin("dl", "class", "facts");
    facts.forEach(
        (name, value) ->
            page.begin("div").element("dt", name).element("dd", Wording.set(value)).end());
    page.end();
  }

  private String place() {
    return List.of(record.station(), record.shop()).stream()
        .filter(word -> !word.isEmpty())
        .collect(Collectors.joining(", "));
  }

  private void signature(Maker maker) {
    page.begin("div", "class", "signature")
        .element("p", "For " + maker.name())
        .element("p", "Date")
        .end();
  }
}
