package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import kitproof.web.Chromium;
import org.junit.jupiter.api.Test;

/** A run at the operator's screen, from the serial number to the verdict. */
class OperatorRunIT extends OperatorPages {
  @Test
  void aUnitIsTakenFromItsSerialNumberToItsVerdict() throws Exception {
    serve();
    Page page = open();
    assertThat(page.locator("#opening")).hasText("Not known: treat as live");
    assertThat(page.locator("#stop")).isDisabled();
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-idle");

    start(page, "whole", "LN12-005");
    Locator question = page.locator("#question");
    assertThat(question).containsText("Connect the unit");
    assertThat(question).containsText("Caution: Mains off and HV discharged");
    assertThat(page.locator("#opening")).hasText("Do not open");
    assertThat(page.locator("#driving-words")).hasText("You drive this bench.");
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-prompt");

    // Loaded again in the middle it is right at once, and still drives.
    page.reload();
    assertThat(question).containsText("Connect the unit");
    question.locator("#done").click();

    // A second browser only watches.
    Page other = open(1280, 900, ColorScheme.DARK);
    assertThat(other.locator("#driving-words")).containsText("this one watches");
    assertThat(other.locator("#take")).isHidden();
    assertThat(page.locator("#volts")).containsText(" V", patiently());

    assertThat(question).containsText("Read the panel meter", patiently());
    assertThat(other.locator("#question")).containsText("Answered at the screen that drives");
    assertThat(other.locator("#question button")).hasCount(0);
    chromium.assertAccessible(other);
    chromium.picture(other, "operator-watching-dark");
    question.locator("#entry").fill("5000");
    question.locator("#entry").press("Enter");
    assertThat(question.locator(".refused")).containsText("expected a value from 0 V to 600 V");
    question.locator("#entry").fill("331");
    question.locator("#entry").press("Enter");

    assertThat(question).containsText("Turn the left bias trimmer", patiently());
    assertThat(question.locator(".where")).containsText("inside", patiently());
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-adjustment");

    assertVerdict(page, "fail");
    assertThat(page.locator("#failures"))
        .containsText("gain (tap 4 Ω, mode ultralinear, channel left");
    assertThat(page.locator("#causes")).containsText("4 Ω and the 8 Ω tap are exchanged");
    assertThat(page.locator("#causes")).containsText("channel left");
    assertThat(page.locator("#causes-caution")).containsText("not judgements");
    assertThat(page.locator("#opening")).hasText("Safe to open");
    assertThat(page.locator("#serial")).hasValue("");
    assertThat(page.locator("#batch")).hasValue("pilot");
    chromium.assertAccessible(page);
    chromium.wholePicture(page, "operator-verdict-fail");
    Page dark = open(1280, 900, ColorScheme.DARK);
    assertThat(dark.locator("#verdict-title")).hasText("fail");
    chromium.assertAccessible(dark);
    chromium.wholePicture(dark, "operator-verdict-dark");
    Page phone = open(360, 740, ColorScheme.LIGHT);
    assertThat(phone.locator("#verdict-title")).hasText("fail");
    Chromium.assertNothingSticksOut(phone);
    chromium.assertAccessible(phone);
    chromium.wholePicture(phone, "operator-verdict-phone");
    chromium.assertNoComplaints();
  }
}
