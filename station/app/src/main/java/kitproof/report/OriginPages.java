package kitproof.report;

import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import kitproof.event.Event;
import kitproof.journal.RunRecord;

/** Where the figures come from: conditions, instruments, files, and what the owner must know. */
final class OriginPages {
  private final Markup page;
  private final RunRecord record;
  private final String digest;

  OriginPages(Markup page, RunRecord record, String digest) {
    this.page = page;
    this.record = record;
    this.digest = digest;
  }

  void write() {
    page.begin("div", "class", "part").element("h2", "How it was measured");
    conditions();
    table("Instruments, as they answered", "instruments", new TreeMap<>(record.instruments()));
    calibration();
    notices();
    files();
    cautions();
    page.end();
  }

  private void conditions() {
    Map<String, Set<String>> values = new LinkedHashMap<>();
    record.steps().stream()
        .flatMap(step -> step.results().stream())
        .forEach(
            result ->
                result
                    .measurement()
                    .conditions()
                    .values()
                    .forEach(
                        (name, value) ->
                            values.computeIfAbsent(name, n -> new LinkedHashSet<>()).add(value)));
    Map<String, String> rows = new LinkedHashMap<>();
    values.forEach((name, all) -> rows.put(name, String.join(", ", all)));
    table("Conditions that results were measured under", "conditions", rows);
  }

  private void table(String heading, String kind, Map<String, String> rows) {
    if (rows.isEmpty()) {
      return;
    }
    page.begin("div", "class", "step").element("h3", heading);
    page.begin("table", "class", "pairs " + kind).begin("tbody");
    rows.forEach(
        (name, value) ->
            page.begin("tr").element("th", name).element("td", Wording.set(value)).end());
    page.end().end().end();
  }

  private void calibration() {
    page.begin("div", "class", "step").element("h3", "Calibration");
    page.element(
        "p", Wording.capital(Wording.set(CalibrationWords.of(record))) + ".", "class", "note");
    List<String> certificates =
        record.calibration().map(Event.CalibrationTold::certificates).orElse(List.of());
    if (!certificates.isEmpty()) {
      page.element("p", "Certificates of the instruments:", "class", "note").begin("ul");
      certificates.forEach(line -> page.element("li", Wording.set(line)));
      page.end();
    }
    page.end();
  }

  private void notices() {
    if (record.notices().isEmpty()) {
      return;
    }
    page.begin("div", "class", "step").element("h3", "What the operator was told");
    page.begin("ul");
    record.notices().forEach(notice -> page.element("li", Wording.set(notice)));
    page.end().end();
  }

  private void files() {
    Map<String, String> rows = new LinkedHashMap<>();
    rows.put("run", record.run());
    rows.put("record", digest);
    for (String role : List.of("plan", "limits", "bench")) {
      String of = record.digests().get(role);
      if (of != null) {
        rows.put(role, of);
      }
    }
    table("Files, by their digests", "digests", rows);
    page.element(
        "p",
        "The record is kept by the maker. Whoever has it can prove by the digest that it is the one"
            + " this page was made from.",
        "class",
        "note");
  }

  private void cautions() {
    page.begin("div", "class", "cautions").element("h3", "Cautions");
    page.element(
        "p",
        "A valve amplifier holds several hundred volts inside, and still does after it has been"
            + " switched off and unplugged. Do not open it; work inside is for the qualified, by"
            + " your local codes. Valves and transformers run hot: leave air around them and keep"
            + " children and pets away. Do not run it without a loudspeaker or a load on its"
            + " outputs. The figures hold for this unit, as it was and where it was on the day of"
            + " the test.");
    page.end();
  }
}
