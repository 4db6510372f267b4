package kitproof.benchmark;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.Playwright;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;

/** Debian's Chromium without a window, with nothing of the user's. */
final class Browser implements AutoCloseable {
  private static final Path PROGRAM = Path.of("/usr/bin/chromium");

  private final Playwright playwright;
  private final com.microsoft.playwright.Browser browser;

  Browser() throws IOException {
    if (!Files.isExecutable(PROGRAM)) {
      throw new IOException(
          "found no "
              + PROGRAM
              + "; on Debian: apt-get install -y --no-install-recommends chromium"
              + " fonts-dejavu-core");
    }
    playwright =
        Playwright.create(
            new Playwright.CreateOptions().setEnv(Map.of("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")));
    browser =
        playwright
            .chromium()
            .launch(
                new com.microsoft.playwright.BrowserType.LaunchOptions()
                    .setExecutablePath(PROGRAM)
                    .setArgs(List.of("--no-sandbox", "--disable-background-networking")));
  }

  /** A page of its own session. */
  Page page(int width, int height, ColorScheme colours) {
    Page page =
        browser
            .newContext(
                new com.microsoft.playwright.Browser.NewContextOptions()
                    .setViewportSize(width, height)
                    .setColorScheme(colours)
                    .setTimezoneId("UTC")
                    .setLocale("en-GB"))
            .newPage();
    page.setDefaultTimeout(60_000);
    return page;
  }

  @Override
  public void close() {
    browser.close();
    playwright.close();
  }
}
