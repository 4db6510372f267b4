package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.util.regex.Pattern;
import kitproof.web.Chromium;
import org.junit.jupiter.api.Test;

/** What a step reads and hears, live at the operator's screen. */
class OperatorAdjustIT extends OperatorPages {
  private static final String NARROW =
      ADJUST
          .replace("window: 5 V..14 V", "window: 8.6 V..9.0 V")
          .replace("dwell: 100 s", "dwell: 20 s");

  private static final String CLIMB =
      """
      - step: distortion against power
        procedure: distortion-against-power
        conditions: {mode: ultralinear, tap: 8 ohm, channel: both}
        powers: 50 mW..20 W
      """;

  @Test
  void aReadingIsLedIntoItsWindowFromOutsideAndAcceptedOnceItStaysThere() throws Exception {
    Served.plan(folder, "bias", POWER + NARROW);
    Served.limits(
        folder, "bias", POWER_LIMITS + "- {result: bias as set, low: 8.6 V, high: 9 V}\n");
    serve();
    Page page = open();
    start(page, "bias", "LN12-001");
    Locator question = page.locator("#question");
    assertThat(question).containsText("Turn the left bias trimmer", patiently());
    assertThat(question.locator(".where")).hasText(Pattern.compile(". too (low|high)"));
    assertThat(question.locator("progress")).hasJSProperty("value", 0);
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-adjustment-outside");

    served.turn();
    assertThat(question.locator(".where")).containsText("inside, ", patiently());
    chromium.picture(page, "operator-adjustment-inside");
    assertVerdict(page, "pass");
    Locator result = page.locator("#results .result").first();
    assertThat(result).containsText("bias as set");
    assertThat(result.locator(".mark")).hasText("pass");
    chromium.assertNoComplaints();
  }

  @Test
  void whatAStepHearsIsShownAgainstItsLimits() throws Exception {
    Served.plan(folder, "sound", POWER + SOUND + CLIMB);
    Served.limits(folder, "sound", POWER_LIMITS + SOUND_LIMITS);
    serve();
    Page page = open();
    page.evaluate(
        """
        () => { // what is of the moment is noted by the page itself, however busy the machine is
          window.seen = new Set();
          const look = () => document.querySelectorAll('#live .reading:not([hidden])')
            .forEach(one => window.seen.add(one.textContent));
          new MutationObserver(look).observe(document.getElementById('live'),
            {childList: true, subtree: true, characterData: true, attributes: true});
        }
        """);
    start(page, "sound", "LN12-001");
    assertThat(page.locator("#live")).containsText("left: ", patiently());
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-sound");
    assertVerdict(page, "pass");
    Object words = page.evaluate("() => [...window.seen].join('\\n')");
    org.assertj.core.api.Assertions.assertThat(words.toString())
        .containsPattern("left: (gain, )?1 kHz, [^\n]*W(, uncalibrated)?[0-9.]+ (dB|V|mV)")
        .containsPattern("right: ");
    chromium.assertNoComplaints();
  }

  /** Wherever the page is scrolled to, and however the phone is held. */
  @Test
  void theHighVoltageIsInSightOnAPhoneOnItsSide() throws Exception {
    Served.plan(folder, "ask", CONNECT + POWER + BY_EYE);
    Served.limits(
        folder,
        "ask",
        POWER_LIMITS + "- {result: hv on the panel meter, low: 310 V, high: 355 V}\n");
    serve();
    Page page = open(740, 360, ColorScheme.LIGHT);
    start(page, "ask", "LN12-001");
    page.locator("#done").click();
    assertThat(page.locator("#question")).containsText("Read the panel meter", patiently());
    page.locator("#results-part").scrollIntoViewIfNeeded();
    for (String part : new String[] {"#opening", "#volts", "#stop"}) {
      assertThat(page.locator(part)).isInViewport();
    }
    assertThat(page.locator("#volts")).containsText(" V");
    org.assertj.core.api.Assertions.assertThat(
            ((Number) page.evaluate("document.querySelector('.top').offsetHeight")).intValue())
        .as("the head leaves room for the rest")
        .isLessThan(110);
    Chromium.assertNothingSticksOut(page);
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-phone-on-its-side");
    page.setViewportSize(320, 256); // WCAG 2.2, 1.4.10: 1280 by 1024 at 400 %
    for (String part : new String[] {"#opening", "#volts", "#stop"}) {
      assertThat(page.locator(part)).isInViewport();
    }
    Chromium.assertNothingSticksOut(page);
    chromium.picture(page, "operator-four-times-as-large");
    page.locator("#entry").fill("331");
    page.locator("#entry").press("Enter");
    assertVerdict(page, "pass");
  }
}
