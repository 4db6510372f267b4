package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.value.Conditions;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;

/** The tables of every result. */
class ResultPagesTest {
  private static final Maker MAKER = new Maker("Linnet & Daughters", List.of(), "", null);
  private static final String REASON = "\u221212.34 dBV is above \u221245.67 dBV";

  /** Four comparisons that nobody named a unit for, and one that fell to a stop. */
  @Test
  void whatWasLeftOutIsToldInOneSentence() {
    List<Event> events = new ArrayList<>();
    List<Event.PlannedStep> planned = new ArrayList<>();
    for (int i = 0; i < 4; i++) {
      String step = i % 2 == 0 ? "gain beside the reference" : "response beside the reference";
      Conditions channel = Conditions.of("channel", i < 2 ? "left" : "right");
      planned.add(new Event.PlannedStep(step, channel, Duration.ZERO));
    }
    planned.add(new Event.PlannedStep("hum", Conditions.NONE, Duration.ZERO));
    events.add(
        new Event.RunStarted(
            "R1", "attic", "bench-1", "LN12-001", "", "Linnet 12", "B", "p", Map.of(), planned));
    for (int i = 0; i < planned.size(); i++) {
      Event.PlannedStep step = planned.get(i);
      String why = step.step().equals("hum") ? "" : "no reference unit was named";
      events.add(
          new Event.StepFinished(
              i, step.step(), step.conditions(), StepOutcome.SKIPPED, why, Duration.ZERO));
    }
    events.add(new Event.RunEnded(Verdict.FAIL, "stopped", List.of()));
    List<Entry> entries = new ArrayList<>();
    events.forEach(e -> entries.add(new Entry("R1", entries.size(), Instant.EPOCH, e)));
    String page =
        new Certificate(RunRecord.of(entries), "sha256:0a1b2c", MAKER)
            .html(Paper.A4)
            .replace('\u00a0', ' ');
    String told =
        "Not part of this test, as no reference unit was named: gain beside the reference, response"
            + " beside the reference.";
    assertThat(page.split("no reference unit was named", -1)).hasSize(2);
    assertThat(page).contains(told, "<h3>Hum</h3>", "Skipped.").doesNotContain("Skipped:");
  }

  private static Certificate report() throws IOException {
    return new Certificate(FullRun.of(Verdict.FAIL), "sha256:0a1b2c", MAKER);
  }

  @Test
  void whyAResultFailedHasARowOfItsOwnBelowIt() throws IOException {
    String page = report().html(Paper.A4).replace('\u00a0', ' ');
    List<String> cells =
        Pattern.compile("<td class=\"judgement failed\">(.*?)</td>", Pattern.DOTALL)
            .matcher(page)
            .results()
            .map(found -> found.group(1))
            .toList();
    assertThat(cells).isNotEmpty().allMatch(cell -> cell.length() < 60).doesNotContain(REASON);
    List<MatchResult> reasons =
        Pattern.compile("</tr>\\s*<tr class=\"reason[^\"]*\">\\s*<td colspan=\"(\\d+)\">(.*?)</td>")
            .matcher(page)
            .results()
            .toList();
    assertThat(reasons).hasSizeGreaterThan(10);
    assertThat(reasons).allMatch(found -> Integer.parseInt(found.group(1)) >= 5);
    assertThat(reasons).allMatch(found -> found.group(2).endsWith(REASON));
  }

  /** In the narrow column of judgements it took a line for each word or two. */
  @Test
  void aReasonIsOneLineOnPaper() throws IOException {
    try (PDDocument document = Loader.loadPDF(report().pdf(Paper.A4))) {
      PDFTextStripper stripper = new PDFTextStripper();
      stripper.setStartPage(2);
      assertThat(stripper.getText(document).replace('\u00a0', ' ').lines())
          .anyMatch(line -> line.strip().endsWith(REASON));
    }
  }
}
