package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.LocatorAssertions;
import com.microsoft.playwright.assertions.LocatorAssertions.ContainsTextOptions;
import com.microsoft.playwright.assertions.LocatorAssertions.HasTextOptions;
import com.microsoft.playwright.assertions.PlaywrightAssertions;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Pattern;
import kitproof.web.Access;
import kitproof.web.Chromium;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The operator's screen in a real browser, before a simulated bench that asks a person. */
class OperatorScreenIT {
  private static final String CONNECT =
      """
      - step: connect
        procedure: prompt
        say: Connect the unit, all valves in, safety cover closed and locked
        caution: Mains off and HV discharged before you touch anything.
      """;
  private static final String POWER =
      """
      - step: first power
        procedure: supply-rise
        conditions: {lamps: 2}
        meter: hv-meter
        function: hv
        watch: 15 s
        on-fail: stop
      - step: HV rail
        procedure: reading
        mains: direct
        wait: 25 s
        meter: hv-meter
        function: hv
        result: hv
      """;
  private static final String POWER_LIMITS =
      """
      - result: supply rise
        mask: [{at: 0 s, high: 420 V}, {at: 15 s, low: 150 V, high: 420 V}]
      - {result: hv, low: 318 V, high: 348 V}
      """;
  private static final String WAIT =
      """
      - step: long look
        procedure: reading
        mains: direct
        wait: 4000 s
        meter: hv-meter
        function: hv
        result: hv
      """;
  private static final String BY_EYE =
      """
      - step: HV rail by eye
        procedure: entry
        say: Read the panel meter on the HV rail
        result: hv on the panel meter
        plausible: 0 V..600 V
      """;
  private static final String ADJUST =
      """
      - step: set bias, left
        procedure: adjust
        conditions: {point: cathode V3}
        say: Turn the left bias trimmer until the reading stays inside
        caution: HV is on. Insulated trimming tool, through the hole in the cover, one hand.
        control: left bias trimmer
        meter: probe-meter
        function: dc-voltage
        result: bias as set
        window: 5 V..14 V
        dwell: 100 s
      """;
  private static final String SOUND =
      """
      - repeat: {tap: [4 ohm, 8 ohm]}
        steps:
          - {step: gain, procedure: gain, conditions: {mode: ultralinear, channel: both}, power: 1 W}
      """;
  private static final String SOUND_LIMITS =
      """
      - {result: gain, when: {tap: 4 ohm}, low: 23.7 dB, high: 24.9 dB}
      - {result: gain, when: {tap: 8 ohm}, low: 26.7 dB, high: 27.9 dB}
      """;

  private static Chromium chromium;
  @TempDir Path folder;
  private Served served;

  @BeforeAll
  static void openBrowser() throws IOException {
    PlaywrightAssertions.setDefaultAssertionTimeout(20_000);
    chromium = new Chromium();
  }

  @AfterAll
  static void closeBrowser() {
    chromium.close();
    PlaywrightAssertions.setDefaultAssertionTimeout(5_000); // its own
  }

  @BeforeEach
  void writePlans() throws IOException {
    Served.plan(folder, "whole", CONNECT + POWER + BY_EYE + ADJUST + SOUND);
    Served.limits(
        folder,
        "whole",
        POWER_LIMITS
            + "- {result: hv on the panel meter, low: 310 V, high: 355 V}\n"
            + "- {result: bias as set, low: 5 V, high: 14 V}\n"
            + SOUND_LIMITS);
    Files.copy(Cli.HOME.resolve("limits/linnet-12/causes.yaml"), folder.resolve("causes.yaml"));
  }

  @AfterEach
  void stopStation() {
    chromium.closePages();
    if (served != null) {
      served.close();
    }
  }

  private void serve() throws Exception {
    served = new Served(folder, 60, new Access("127.0.0.1", 0, null));
  }

  private Page open() {
    return open(1280, 900, ColorScheme.LIGHT);
  }

  private Page open(int width, int height, ColorScheme colours) {
    Page page = chromium.page(width, height, colours);
    page.navigate(served.address());
    assertThat(page.locator("#link")).hasText("live");
    return page;
  }

  private static void start(Page page, String plan, String serial) {
    page.locator("#plan").selectOption(plan + ".yaml");
    page.locator("#batch").fill("pilot");
    page.locator("#serial").fill(serial);
    page.locator("#serial").press("Enter"); // as a scanner does
  }

  private static HasTextOptions patient() {
    return new HasTextOptions().setTimeout(30_000);
  }

  private static ContainsTextOptions patiently() {
    return new ContainsTextOptions().setTimeout(30_000);
  }

  /** The reason is told if it is another one. */
  private static void assertVerdict(Page page, String word) {
    assertThat(page.locator("#verdict-title")).not().isEmpty(patientlyEmpty());
    String told =
        page.locator("#verdict-title").textContent()
            + ": "
            + page.locator("#verdict-reason").textContent();
    assertThat(told).startsWith(word + ": ");
  }

  private static LocatorAssertions.IsEmptyOptions patientlyEmpty() {
    return new LocatorAssertions.IsEmptyOptions().setTimeout(30_000);
  }

  @Test
  void aUnitIsTakenFromItsSerialNumberToItsVerdict() throws Exception {
    serve();
    Page page = open();
    assertThat(page.locator("#opening")).hasText("Not known: treat as live");
    assertThat(page.locator("#stop")).isDisabled();
    chromium.assertAccessible(page);
    Chromium.picture(page, "operator-idle");

    start(page, "whole", "LN12-005");
    Locator question = page.locator("#question");
    assertThat(question).containsText("Connect the unit");
    assertThat(question).containsText("Caution: Mains off and HV discharged");
    assertThat(page.locator("#opening")).hasText("Do not open");
    assertThat(page.locator("#driving-words")).hasText("You drive this bench.");
    chromium.assertAccessible(page);
    Chromium.picture(page, "operator-prompt");

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
    Chromium.picture(other, "operator-watching-dark");
    question.locator("#entry").fill("5000");
    question.locator("#entry").press("Enter");
    assertThat(question.locator(".refused")).containsText("expected a value from 0 V to 600 V");
    question.locator("#entry").fill("331");
    question.locator("#entry").press("Enter");

    assertThat(question).containsText("Turn the left bias trimmer", patiently());
    assertThat(question.locator(".where")).containsText("inside", patiently());
    chromium.assertAccessible(page);
    Chromium.picture(page, "operator-adjustment");

    assertVerdict(page, "fail");
    assertThat(page.locator("#failures"))
        .containsText("gain (tap 4 ohm, mode ultralinear, channel left");
    assertThat(page.locator("#causes")).containsText("4 ohm and the 8 ohm tap are exchanged");
    assertThat(page.locator("#causes")).containsText("channel left");
    assertThat(page.locator("#causes-caution")).containsText("not judgements");
    assertThat(page.locator("#opening")).hasText("Safe to open");
    assertThat(page.locator("#serial")).hasValue("");
    assertThat(page.locator("#batch")).hasValue("pilot");
    chromium.assertAccessible(page);
    Chromium.wholePicture(page, "operator-verdict-fail");
    Page dark = open(1280, 900, ColorScheme.DARK);
    assertThat(dark.locator("#verdict-title")).hasText("fail");
    chromium.assertAccessible(dark);
    Chromium.wholePicture(dark, "operator-verdict-dark");
    Page phone = open(360, 740, ColorScheme.LIGHT);
    assertThat(phone.locator("#verdict-title")).hasText("fail");
    assertNothingSticksOut(phone);
    chromium.assertAccessible(phone);
    Chromium.wholePicture(phone, "operator-verdict-phone");
    chromium.assertNoComplaints();
  }

  @Test
  void aStopByKeyMakesTheBenchSafeAndTheDischargeIsStillWatched() throws Exception {
    Served.plan(folder, "long", POWER.substring(0, POWER.indexOf("- step: HV rail")) + WAIT);
    Served.limits(folder, "long", POWER_LIMITS.substring(0, POWER_LIMITS.indexOf("- {result: hv")));
    served = new Served(folder, 5, new Access("127.0.0.1", 0, null));
    Page page = open();
    start(page, "long", "LN12-001");
    assertThat(page.locator("#step")).hasText("long look", patient());
    assertThat(page.locator("#volts")).containsText(" V");
    Chromium.picture(page, "operator-running");
    Page phone = open(360, 740, ColorScheme.DARK);
    assertThat(phone.locator("#step")).not().isEmpty();
    assertNothingSticksOut(phone);
    chromium.assertAccessible(phone);
    Chromium.picture(phone, "operator-running-phone-dark");

    page.keyboard().press("Escape");
    assertThat(page.locator("#stop")).containsText("end the watch");
    assertThat(page.locator("#opening")).hasText("Do not open");
    page.keyboard().press("Escape"); // again, as a nervous hand does: the watch goes on
    assertThat(page.locator("#step")).hasText("discharge", patient());
    Chromium.picture(page, "operator-stopping");
    page.locator("#stop").click();
    assertThat(page.locator("#sure")).isVisible();
    chromium.assertAccessible(page);
    Chromium.picture(page, "operator-sure");
    page.locator("#sure-no").click();
    assertVerdict(page, "aborted");
    assertThat(page.locator("#verdict-reason")).containsText("stopped by the operator");
    assertThat(page.locator("#opening")).hasText("Safe to open");
    Chromium.picture(page, "operator-aborted");
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
    chromium.assertNoComplaints();
  }

  @Test
  void aUnitThatHasPassedIsTestedAgainOnlyWhenItIsMeant() throws Exception {
    Served.plan(folder, "short", POWER);
    Served.limits(folder, "short", POWER_LIMITS);
    serve();
    Page page = open();
    start(page, "short", "LN12-001");
    assertVerdict(page, "pass");
    assertThat(page.locator("#causes-part")).isHidden();
    chromium.assertAccessible(page);
    Chromium.picture(page, "operator-verdict-pass");
    start(page, "short", "LN12-001");
    assertThat(page.locator("#again-words")).containsText("LN12-001 has passed in run");
    chromium.assertAccessible(page);
    Chromium.picture(page, "operator-again");
    page.locator("#again-yes").click();
    assertThat(page.locator("#notices")).containsText("Attempt 2", patiently());
    assertThat(page.locator("#verdict")).isHidden();
    assertVerdict(page, "pass");
    chromium.assertNoComplaints();
  }

  @Test
  void whatIsWrongWithAPlanOrASerialNumberIsToldAndWordsStayWords() throws Exception {
    String markup = "<img src=x onerror=alert(1)><script>alert(2)</script>&amp;";
    Served.plan(folder, "broken", POWER.replace("function: hv", "function: hw"));
    Served.limits(folder, "broken", POWER_LIMITS);
    Files.writeString(
        folder.resolve("wild.yaml"),
        Files.readString(folder.resolve("broken.yaml"))
            .replace("function: hw", "function: hv")
            .replace("serial: 'LN12-[0-9]{3}'\n", "")
            .replace("plan: broken", "plan: '" + markup + "'"));
    serve();
    Page page = open(360, 740, ColorScheme.LIGHT);
    page.locator("#plan").selectOption("broken.yaml");
    assertThat(page.locator("#problems"))
        .containsText(
            Pattern.compile("broken\\.yaml:\\d+:\\d+: found .*hw.*; did you mean \"hv\""));
    chromium.assertAccessible(page);
    assertNothingSticksOut(page);
    Chromium.wholePicture(page, "operator-problems-phone");
    page.locator("#serial").fill("LN12-001");
    page.locator("#start").click();
    assertThat(page.locator("#start")).isEnabled();
    assertThat(page.locator("#problems li").first()).isVisible();

    start(page, "whole", "ln12 5");
    assertThat(page.locator("#refused")).containsText("did you mean \"LN12-005\"?");
    assertThat(page.locator("#problems-part")).isHidden();

    start(page, "wild", markup);
    assertVerdict(page, "pass");
    assertThat(page.locator("#verdict-unit")).containsText(markup);
    assertThat(page.locator("main img, main script")).hasCount(0);
    assertNothingSticksOut(page);
    chromium.assertAccessible(page);
    Chromium.wholePicture(page, "operator-hostile-phone");
    chromium.assertNoComplaints();
  }

  /** WCAG 2.2, 1.4.10: nothing makes the page wider than the screen. */
  private static void assertNothingSticksOut(Page page) {
    Object wide =
        page.evaluate(
            """
            document.documentElement.scrollWidth <= innerWidth ? [] :
              [...document.querySelectorAll('body *')]
                .filter(e => e.getBoundingClientRect().right > innerWidth + 0.5)
                .map(e => e.outerHTML.slice(0, 120))\
            """);
    assertThat((List<?>) wide).as("wider than the screen").isEmpty();
  }
}
