package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Pattern;
import kitproof.web.Chromium;
import org.junit.jupiter.api.Test;

/** What is ordered at the operator's screen, and what it refuses. */
class OperatorOrderIT extends OperatorPages {
  @Test
  void aUnitThatHasPassedIsTestedAgainOnlyWhenItIsMeant() throws Exception {
    Served.plan(folder, "short", POWER);
    Served.limits(folder, "short", POWER_LIMITS);
    serve();
    Page page = open();
    assertThat(page.locator("#batch")).hasValue("pilot");
    page.locator("#batch").fill("second lot");
    page.locator("#plan").selectOption("short.yaml");
    page.locator("#serial").fill("LN12-001");
    page.locator("#serial").press("Enter"); // as a scanner does
    assertVerdict(page, "pass");
    assertThat(page.locator("#batch")).hasValue("second lot");
    assertThat(page.locator("#batches option[value=pilot]")).hasCount(1);
    assertThat(page.locator("#batches option[value='second lot']")).hasCount(1);
    assertThat(page.locator("#standing")).containsText("Uncalibrated: no figure of this run");
    assertThat(page.locator("#results .remark").first()).hasText("uncalibrated");
    assertThat(page.locator("#notices")).containsText("there is no bench.calibration.yaml");
    assertThat(page.locator("#notices")).not().containsText(folder.toString());
    assertThat(page.locator("#causes-part")).isHidden();
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-verdict-pass");
    start(page, "short", "LN12-001");
    assertThat(page.locator("#again-words")).containsText("LN12-001 has passed in run");
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-again");
    page.locator("#again-yes").click();
    assertThat(page.locator("#notices")).containsText("Attempt 2", patiently());
    assertThat(page.locator("#verdict")).isHidden();
    assertVerdict(page, "pass");
    chromium.assertNoComplaints();
  }

  @Test
  void whatIsWrongWithAPlanOrASerialNumberIsToldAndWordsStayWords() throws Exception {
    String markup = "<img src=x onerror=alert(1)><script>alert(2)</script>&amp;";
    String result = markup + " " + "r".repeat(900);
    String point = markup + " " + "c".repeat(900);
    Served.plan(folder, "broken", POWER.replace("function: hv", "function: hw"));
    Served.limits(folder, "broken", POWER_LIMITS);
    Files.writeString(
        folder.resolve("wild.yaml"),
        Files.readString(folder.resolve("broken.yaml"))
            .replace("function: hw", "function: hv")
            .replace("serial: 'LN12-[0-9]{3}'\n", "")
            .replace("plan: broken", "plan: '" + markup + "'")
            .replace("step: HV rail", "step: '" + markup + "s".repeat(900) + "'")
            .replace(
                "meter: hv-meter\n    function: hv\n    result: hv\n",
                "meter: probe-meter\n    function: dc-voltage\n    result: '"
                    + result
                    + "'\n    conditions: {point: '"
                    + point
                    + "'}\n")
            .replace("limits-broken", "limits-wild"));
    Served.limits(
        folder,
        "wild",
        POWER_LIMITS.replace("result: hv, low: 318 V", "result: '" + result + "', low: 340 V"));
    serve();
    Page page = open(360, 740, ColorScheme.LIGHT);
    page.locator("#plan").selectOption("broken.yaml");
    assertThat(page.locator("#problems"))
        .containsText(
            Pattern.compile("^broken\\.yaml:\\d+:\\d+: found .*hw.*; did you mean \"hv\""));
    assertThat(page.locator("#problems")).not().containsText(folder.toString());
    chromium.assertAccessible(page);
    Chromium.assertNothingSticksOut(page);
    chromium.wholePicture(page, "operator-problems-phone");
    page.locator("#serial").fill("LN12-001");
    page.locator("#start").click();
    assertThat(page.locator("#start")).isEnabled();
    assertThat(page.locator("#problems li").first()).isVisible();

    start(page, "whole", "ln12 5");
    assertThat(page.locator("#refused")).containsText("did you mean \"LN12-005\"?");
    assertThat(page.locator("#problems-part")).isHidden();

    Path bench = folder.resolve("bench.yaml");
    Files.writeString(
        bench, Files.readString(bench).replace("{point: cathode V3}", "{point: '" + point + "'}"));
    start(page, "wild", markup);
    assertThat(page.locator("#step")).containsText("onerror=alert(1)", patiently());
    assertVerdict(page, "fail");
    assertThat(page.locator("#failures")).containsText("</script>&amp; rrr");
    assertThat(page.locator("#failures")).containsText("</script>&amp; ccc");
    assertThat(page.locator("#verdict-unit")).containsText(markup);
    assertThat(page.locator("main img, main script")).hasCount(0);
    Chromium.assertNothingSticksOut(page);
    chromium.assertAccessible(page);
    chromium.wholePicture(page, "operator-hostile-phone");
    chromium.assertNoComplaints();
  }
}
