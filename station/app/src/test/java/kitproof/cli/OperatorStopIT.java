package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import kitproof.web.Access;
import kitproof.web.Chromium;
import org.junit.jupiter.api.Test;

/** Stops at the operator's screen, and who may do what. */
class OperatorStopIT extends OperatorPages {
  @Test
  void aStopByKeyMakesTheBenchSafeAndTheDischargeIsStillWatched() throws Exception {
    Served.plan(folder, "long", POWER.substring(0, POWER.indexOf("- step: HV rail")) + WAIT);
    Served.limits(folder, "long", POWER_LIMITS.substring(0, POWER_LIMITS.indexOf("- {result: hv")));
    served = new Served(folder, 2, new Access("127.0.0.1", 0, null));
    Page page = open();
    start(page, "long", "LN12-001");
    assertThat(page.locator("#step")).hasText("long look", patient());
    assertThat(page.locator("#volts")).containsText(" V");
    chromium.picture(page, "operator-running");
    Page phone = open(360, 740, ColorScheme.DARK);
    assertThat(phone.locator("#step")).not().isEmpty();
    Chromium.assertNothingSticksOut(phone);
    chromium.assertAccessible(phone);
    chromium.picture(phone, "operator-running-phone-dark");

    page.keyboard().press("Escape");
    assertThat(page.locator("#stop")).containsText("end the watch");
    assertThat(page.locator("#opening")).hasText("Do not open");
    page.keyboard().press("Escape"); // again, as a nervous hand does: the watch goes on
    assertThat(page.locator("#step")).hasText("discharge", patient());
    assertThat(page.locator("#opening")).hasText("Do not open");
    assertThat(page.locator("#volts")).containsText(" V");
    chromium.picture(page, "operator-stopping");
    page.locator("#stop").click();
    assertThat(page.locator("#sure")).isVisible();
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-sure");
    page.locator("#sure-no").click();
    assertVerdict(page, "aborted");
    assertThat(page.locator("#verdict-reason")).containsText("stopped by the operator");
    assertThat(page.locator("#opening")).hasText("Safe to open");
    chromium.picture(page, "operator-aborted");
    chromium.assertNoComplaints();
  }

  @Test
  void aWatcherStopsARunByButtonButStartsNone() throws Exception {
    Served.plan(folder, "ask", CONNECT + POWER);
    Served.limits(folder, "ask", POWER_LIMITS);
    serve();
    Page page = open();
    start(page, "ask", "LN12-001");
    assertThat(page.locator("#question")).containsText("Connect the unit");
    Page other = open();
    assertThat(other.locator("#order")).isHidden();
    other.locator("#stop").click();
    assertVerdict(page, "aborted");
    assertThat(page.locator("#verdict-reason")).containsText("at a screen that watches");
    assertThat(page.locator("#opening")).hasText("Do not open");
    // Between runs the controls can be handed over, and nobody else starts meanwhile.
    assertThat(other.locator("#order")).isHidden();
    other.locator("#take").click();
    assertThat(other.locator("#order")).isVisible();
    assertThat(page.locator("#order")).isHidden();
    chromium.picture(other, "operator-controls-taken");
    chromium.assertNoComplaints();
  }
}
