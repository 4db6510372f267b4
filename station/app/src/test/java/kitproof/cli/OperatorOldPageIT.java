package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.time.Duration;
import java.util.regex.Pattern;
import kitproof.web.Access;
import kitproof.web.Chromium;
import org.junit.jupiter.api.Test;

/** Operator's pages that hear nothing any more, and one that nobody sees. */
class OperatorOldPageIT extends OperatorPages {
  /** A browser lets the timers of hidden pages sleep for minutes. */
  private static final String SLEEPING_TIMERS =
      """
      for (const name of ['setInterval', 'setTimeout']) {
        const real = window[name];
        window[name] = (work, millis, ...more) => real(() => document.hidden || work(...more), millis);
      }\
      """;

  /** Longer than a page without a sign of life keeps the controls. */
  private static final Duration LONG = Duration.ofSeconds(17);

  @Test
  void aHiddenPageGoesOnDrivingAndOneWithoutNewsSaysSoAndStillStops() throws Exception {
    Served.plan(folder, "long", POWER.substring(0, POWER.indexOf("- step: HV rail")) + WAIT);
    Served.limits(folder, "long", POWER_LIMITS.substring(0, POWER_LIMITS.indexOf("- {result: hv")));
    served = new Served(folder, 20, new Access("127.0.0.1", 0, null));
    Page driver = chromium.page(1280, 900, ColorScheme.LIGHT);
    driver.addInitScript(SLEEPING_TIMERS);
    driver.navigate(served.address());
    assertThat(driver.locator("#link")).hasText("live");
    start(driver, "long", "LN12-001");
    assertThat(driver.locator("#step")).hasText("long look", patient());
    assertThat(driver.locator("#live .value").first()).containsText(" V", patiently());
    Chromium.see(driver, false);
    final long hidden = System.nanoTime();

    Page watcher = chromium.page(1280, 900, ColorScheme.LIGHT);
    watcher.route("**/events", route -> {}); // the line is never answered
    watcher.navigate(served.address());
    assertThat(watcher.locator("#opening")).hasText("Do not open");
    assertThat(watcher.locator("#now-old")).isHidden();
    assertThat(watcher.locator("#stale"))
        .containsText("What you see is old", patiently()); // after ten seconds
    assertOldAndTreatedAsLive(watcher);
    chromium.assertAccessible(watcher);
    chromium.picture(watcher, "operator-old");

    driver.waitForTimeout(
        Math.max(0, LONG.minusNanos(System.nanoTime() - hidden).toMillis())); // hears meanwhile
    Page other = open();
    assertThat(other.locator("#driving-words")).containsText("Another screen drives this bench");
    assertThat(other.locator("#take")).isHidden();

    watcher.keyboard().press("Escape");
    assertThat(watcher.locator("#trouble")).containsText("The station has taken the stop");
    assertVerdict(other, "aborted");
    Chromium.see(driver, true);
    assertVerdict(driver, "aborted");
    assertThat(driver.locator("#driving-words")).hasText("You drive this bench.");

    served.close();
    served = null;
    assertThat(driver.locator("#link")).hasText("not live", patient());
    assertOldAndTreatedAsLive(driver);
    driver.keyboard().press("Escape");
    assertThat(driver.locator("#trouble")).containsText("use the bench’s emergency stop");
    chromium.picture(driver, "operator-gone");
  }

  private static void assertOldAndTreatedAsLive(Page page) {
    assertThat(page.locator("#opening")).hasText("Not known: treat as live");
    assertThat(page.locator("#volts")).hasClass(Pattern.compile("\\bold\\b"));
    assertThat(page.locator("#rail-note")).containsText("what it is now is not known");
    assertThat(page.locator("#stop")).isEnabled();
    if (page.locator("#now").isVisible()) {
      assertThat(page.locator("#now-old")).isVisible();
    }
  }
}
