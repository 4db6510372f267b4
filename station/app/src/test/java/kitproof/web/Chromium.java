package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.BrowserContext;
import com.microsoft.playwright.BrowserType;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.Playwright;
import com.microsoft.playwright.PlaywrightException;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/**
 * Debian's Chromium, with nothing of the user's, and an accessibility checker to put into pages.
 */
public final class Chromium implements AutoCloseable {
  private static final Path PROGRAM = Path.of("/usr/bin/chromium");
  private static final Path PICTURES = Path.of("target", "screenshots");

  private final Playwright playwright;
  private final Browser browser;
  private final String checker;
  private final List<String> complaints = new ArrayList<>();
  private int taken;

  public Chromium() throws IOException {
    assertThat(PROGRAM)
        .as("Chromium; on Debian: apt-get install -y --no-install-recommends chromium")
        .exists();
    playwright =
        Playwright.create(
            new Playwright.CreateOptions().setEnv(Map.of("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")));
    browser =
        playwright
            .chromium()
            .launch(
                new BrowserType.LaunchOptions()
                    .setExecutablePath(PROGRAM)
                    .setArgs(
                        List.of(
                            "--no-sandbox",
                            "--disable-background-networking",
                            "--disable-component-update",
                            "--disable-sync")));
    try (InputStream script = Chromium.class.getResourceAsStream("/axe.min.js")) {
      assertThat(script).as("axe-core").isNotNull();
      checker = new String(script.readAllBytes(), StandardCharsets.UTF_8);
    }
    Files.createDirectories(PICTURES);
  }

  /** A page of its own session; what its console complains of is kept. */
  public Page page(int width, int height, ColorScheme colours) {
    BrowserContext context =
        browser.newContext(
            new Browser.NewContextOptions()
                .setViewportSize(width, height)
                .setColorScheme(colours)
                .setTimezoneId("UTC")
                .setLocale("en-GB"));
    context.setDefaultTimeout(10_000);
    return page(context);
  }

  /** One more page of a session. */
  public Page page(BrowserContext context) {
    Page page = context.newPage();
    page.onConsoleMessage(
        message -> {
          if (message.type().equals("error")) {
            complaints.add(message.text());
          }
        });
    page.onPageError(complaints::add);
    page.onDialog(
        dialog -> {
          complaints.add("a dialog: " + dialog.message());
          dialog.dismiss();
        });
    return page;
  }

  /** As a browser does with a page behind others; without a window it never would. */
  public static void see(Page page, boolean seen) {
    page.evaluate(
        "seen => { Object.defineProperty(document, 'hidden', {value: !seen, configurable: true});"
            + " document.dispatchEvent(new Event('visibilitychange')); }",
        seen);
  }

  /** No script failed, and the content policy had nothing to forbid. */
  public void assertNoComplaints() {
    assertThat(complaints).isEmpty();
  }

  /** Closes every page; how many pictures were taken since the last time. */
  int closePages() {
    browser.contexts().forEach(BrowserContext::close);
    complaints.clear();
    int pictures = taken;
    taken = 0;
    return pictures;
  }

  /** A page as it is to be seen. */
  public void picture(Page page, String name) {
    taken++;
    page.screenshot(new Page.ScreenshotOptions().setPath(PICTURES.resolve(name + ".png")));
  }

  /** The same from its top to its end. */
  public void wholePicture(Page page, String name) {
    taken++;
    page.screenshot(
        new Page.ScreenshotOptions().setFullPage(true).setPath(PICTURES.resolve(name + ".png")));
  }

  /** Every page that is open, as far as it can be taken. */
  void pictureAll(String name) {
    int number = 0;
    for (BrowserContext context : browser.contexts()) {
      for (Page page : context.pages()) {
        number++;
        try {
          picture(page, name.replaceAll("[^A-Za-z0-9-]", "") + "-" + number);
        } catch (PlaywrightException e) {
          // a page that has died cannot be looked at any more
        }
      }
    }
  }

  /** WCAG 2.2, 1.4.10: nothing makes the page wider than the screen. */
  public static void assertNothingSticksOut(Page page) {
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

  /** Nothing in the page breaks a rule of WCAG 2.2 A or AA that axe-core can check. */
  public void assertAccessible(Page page) {
    page.evaluate(checker);
    Object found =
        page.evaluate(
            """
            async () => (await axe.run(document, {runOnly: {type: 'tag', values:
                ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}}))
              .violations.map(v => v.id + ': ' + v.nodes.map(n => n.html + ' ' + n.failureSummary)
                .slice(0, 3).join(' | '))\
            """);
    assertThat((List<?>) found).as("accessibility of " + page.url()).isEmpty();
  }

  @Override
  public void close() {
    browser.close();
    playwright.close();
  }
}
