package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import kitproof.event.Verdict;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;

/** The tables of every result. */
class ResultPagesTest {
  private static final Maker MAKER = new Maker("Linnet & Daughters", List.of(), "", null);
  private static final String REASON = "\u221212.34 dBV is above \u221245.67 dBV";

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
