package kitproof.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.event.StepOutcome;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Every result with its limit and judgement, step by step. */
final class ResultPages {
  private final Markup page;
  private final RunRecord record;

  ResultPages(Markup page, RunRecord record) {
    this.page = page;
    this.record = record;
  }

  void write() {
    page.begin("div", "class", "part").element("h2", "Every result");
    if (record.steps().stream()
        .flatMap(step -> step.results().stream())
        .anyMatch(result -> result.measurement().uncertainty() != null)) {
      page.element(
          "p",
          "What stands after \u00b1 is the expanded uncertainty, the standard uncertainty times a"
              + " coverage factor of 2; two numbers are above and below the figure. Of a curve it is"
              + " the largest.",
          "class",
          "note");
    }
    Map<String, List<RunRecord.Step>> byName = new LinkedHashMap<>();
    for (RunRecord.Step step : record.steps()) {
      byName.computeIfAbsent(step.step(), name -> new ArrayList<>()).add(step);
    }
    byName.forEach(this::steps);
    leftOut();
    page.end();
  }

  /** Steps that were not to be done are told together, a sentence for each reason. */
  private void leftOut() {
    Map<String, Set<String>> steps = new LinkedHashMap<>();
    record.steps().stream()
        .filter(RunRecord.Step::isLeftOut)
        .forEach(
            step ->
                steps
                    .computeIfAbsent(step.reason(), reason -> new LinkedHashSet<>())
                    .add(step.step()));
    if (steps.isEmpty()) {
      return;
    }
    page.begin("div", "class", "step").element("h3", "Left out");
    steps.forEach(
        (reason, names) ->
            page.element(
                "p",
                Wording.set(
                    "Not part of this test, as " + reason + ": " + String.join(", ", names) + "."),
                "class",
                "note"));
    page.end();
  }

  private void steps(String name, List<RunRecord.Step> steps) {
    List<ResultRow> rows = ResultRow.of(steps);
    List<RunRecord.Step> told = steps.stream().filter(ResultPages::isToBeTold).toList();
    if (rows.isEmpty() && told.isEmpty()) {
      return;
    }
    page.begin("div", "class", "step").element("h3", Wording.set(Wording.capital(name)));
    told.forEach(this::outcome);
    if (!rows.isEmpty()) {
      Conditions shared = shared(rows);
      if (!shared.isEmpty()) {
        page.element("p", Wording.of(shared), "class", "note");
      }
      table(rows, shared);
    }
    page.end();
  }

  /** What holds for all of several rows is told once above them. */
  private static Conditions shared(List<ResultRow> rows) {
    Map<String, String> shared = new LinkedHashMap<>(rows.get(0).conditions().values());
    rows.forEach(row -> shared.entrySet().retainAll(row.conditions().values().entrySet()));
    return rows.size() == 1 ? Conditions.NONE : new Conditions(shared);
  }

  /** What was to be done and was not stays in sight. */
  private static boolean isToBeTold(RunRecord.Step step) {
    StepOutcome outcome = step.outcome();
    return outcome == null
        || outcome == StepOutcome.ERROR
        || outcome == StepOutcome.ABORTED
        || (outcome == StepOutcome.SKIPPED && !step.isLeftOut());
  }

  private void outcome(RunRecord.Step step) {
    String outcome = step.outcome() == null ? "not finished" : step.outcome().toString();
    String where = step.conditions().isEmpty() ? "" : " (" + Wording.of(step.conditions()) + ")";
    String why = step.reason().isEmpty() ? "" : ": " + Wording.set(step.reason());
    page.element("p", Wording.capital(outcome) + where + why + ".", "class", "outcome");
  }

  private void table(List<ResultRow> rows, Conditions shared) {
    Set<String> channels = new LinkedHashSet<>();
    rows.forEach(row -> channels.addAll(row.byChannel().keySet()));
    channels.remove("");
    if (channels.isEmpty()) {
      channels.add("measured");
    }
    page.begin("table", "class", "results").begin("thead").begin("tr");
    page.element("th", "Result", "class", "result").element("th", "When", "class", "when");
    channels.forEach(c -> page.element("th", Wording.capital(c), "class", "value"));
    page.element("th", "Limit", "class", "limit").element("th", "Judgement", "class", "judgement");
    page.end().end().begin("tbody");
    rows.forEach(row -> row(row, channels, shared));
    page.end().end();
  }

  private void row(ResultRow row, Set<String> channels, Conditions shared) {
    Map<String, String> own = new LinkedHashMap<>(row.conditions().values());
    own.keySet().removeAll(shared.values().keySet());
    List<String> reasons = reasons(row);
    List<String> notes = notes(row);
    page.begin("tr", "class", reasons.isEmpty() && notes.isEmpty() ? "told" : "told noted")
        .element("th", Wording.set(row.name()))
        .element("td", Wording.of(new Conditions(own)), "class", "when");
    RunRecord.Result alone = row.byChannel().get("");
    if (alone != null) {
      value(alone, channels.size());
    } else {
      for (String channel : channels) {
        RunRecord.Result result = row.byChannel().get(channel);
        if (result == null) {
          page.element("td", "", "class", "value");
        } else {
          value(result, 1);
        }
      }
    }
    page.element("td", Wording.of(row.limit()) + guard(row), "class", "limit");
    judgement(row);
    page.end();
    int columns = channels.size() + 4;
    for (int i = 0; i < reasons.size(); i++) {
      below("reason", reasons.get(i), columns, !notes.isEmpty() || i < reasons.size() - 1);
    }
    for (int i = 0; i < notes.size(); i++) {
      below("remark", notes.get(i), columns, i < notes.size() - 1);
    }
  }

  /**
   * A row of its own, as wide as the table: what it says is a sentence.
   *
   * @param more whether another one of the same result follows
   */
  private void below(String kind, String words, int columns, boolean more) {
    page.begin("tr", "class", more ? kind + " noted" : kind)
        .element("td", words, "colspan", String.valueOf(columns))
        .end();
  }

  /** How much of the limits the station's uncertainty took: of all channels the most. */
  private static String guard(ResultRow row) {
    double widest = 0;
    Unit unit = Unit.ONE;
    for (RunRecord.Result result : row.byChannel().values()) {
      Judgement.Guard guard = result.judgement().guard();
      if (guard != null && result.measurement().figure() instanceof Figure.OfQuantity of) {
        widest = Math.max(widest, Math.max(guard.low(), guard.high()));
        unit = of.quantity().unit();
      }
    }
    return widest > 0 ? Wording.set(", guard band " + Quantity.of(widest, unit).display(2)) : "";
  }

  private void value(RunRecord.Result result, int columns) {
    boolean failed = result.judgement().outcome().fails();
    page.element(
        "td",
        Wording.of(result.measurement().figure())
            + PlusMinus.of(result.measurement()).map(words -> " " + words).orElse(""),
        "class",
        failed ? "value failed" : "value",
        "colspan",
        String.valueOf(columns));
  }

  private void judgement(ResultRow row) {
    Set<Outcome> outcomes = new LinkedHashSet<>();
    row.byChannel().values().forEach(r -> outcomes.add(r.judgement().outcome()));
    boolean failed = outcomes.stream().anyMatch(Outcome::fails);
    page.begin("td", "class", failed ? "judgement failed" : "judgement");
    if (outcomes.size() == 1) {
      page.words(word(outcomes.iterator().next()));
    }
    if (outcomes.size() > 1) {
      row.byChannel()
          .forEach(
              (channel, result) -> {
                String head = channel.isEmpty() ? "" : channel + ": ";
                page.element("p", head + word(result.judgement().outcome()));
              });
    }
    page.end();
  }

  /** Why results failed; what is the same of all channels is told once. */
  private static List<String> reasons(ResultRow row) {
    Map<String, String> reasons = new LinkedHashMap<>();
    row.byChannel()
        .forEach(
            (channel, result) -> {
              String why = why(result);
              if (!why.isEmpty()) {
                reasons.put(channel, why);
              }
            });
    return told(reasons, row);
  }

  /** What the reader must know of the results. */
  private static List<String> notes(ResultRow row) {
    Map<String, String> notes = new LinkedHashMap<>();
    row.byChannel()
        .forEach(
            (channel, result) -> {
              String why =
                  result.measurement().figure() instanceof Figure.Invalid invalid
                      ? invalid.reason()
                      : "";
              String note = result.measurement().note();
              String gap = !why.isEmpty() && !note.isEmpty() ? "; " : "";
              if (!why.isEmpty() || !note.isEmpty()) {
                notes.put(channel, Wording.set(why + gap + note));
              }
            });
    return told(notes, row);
  }

  /** Each with its channel, but once what is the same of all. */
  private static List<String> told(Map<String, String> byChannel, ResultRow row) {
    if (byChannel.size() == row.byChannel().size() && Set.copyOf(byChannel.values()).size() == 1) {
      return List.of(byChannel.values().iterator().next());
    }
    return byChannel.entrySet().stream()
        .map(e -> (e.getKey().isEmpty() ? "" : e.getKey() + ": ") + e.getValue())
        .toList();
  }

  private static String word(Outcome outcome) {
    return outcome == Outcome.FAIL ? "FAIL" : outcome.toString();
  }

  /** Why it failed; what is good stands in the column of limits, why one is invalid below it. */
  private static String why(RunRecord.Result result) {
    Judgement judgement = result.judgement();
    boolean invalid = result.measurement().figure() instanceof Figure.Invalid;
    return !invalid && judgement.outcome().fails() ? Wording.set(judgement.detail()) : "";
  }
}
