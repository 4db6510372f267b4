package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.nio.file.Path;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/** Tests of the dashboard's pages in a real browser, fed by a real broker. */
@ExtendWith(OneBrowser.class)
abstract class BoardPages {
  final Chromium chromium = OneBrowser.get();
  @TempDir static Path folder;

  Page open(Shop shop, String path) {
    return open(shop, path, 1280, 900, ColorScheme.LIGHT);
  }

  Page open(Shop shop, String path, int width, int height, ColorScheme colours) {
    Page page = chromium.page(width, height, colours);
    page.navigate(shop.address() + path);
    return page;
  }

  /** The page as it is for everybody: nothing that was told has become markup, and all fits. */
  void assertWordsOnly(Page page, String picture) {
    assertThat(page.locator("main img, main script")).hasCount(0);
    Chromium.assertNothingSticksOut(page);
    chromium.assertAccessible(page);
    chromium.wholePicture(page, picture);
  }
}
