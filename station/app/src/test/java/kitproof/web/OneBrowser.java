package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.microsoft.playwright.assertions.PlaywrightAssertions;
import java.io.IOException;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.extension.AfterTestExecutionCallback;
import org.junit.jupiter.api.extension.BeforeAllCallback;
import org.junit.jupiter.api.extension.ExtensionContext;

/**
 * One browser for the tests of all pages. Every test begins without a page, and leaves a picture of
 * what it saw; one that fails leaves what was to be seen then.
 */
public final class OneBrowser implements BeforeAllCallback, AfterTestExecutionCallback {
  /** On a busy machine a page may take a while; nothing waits this long that is well. */
  private static final double PATIENCE = 20_000;

  private static @Nullable Chromium open;

  /** The browser, for a test that is extended by this. */
  public static Chromium get() {
    return Objects.requireNonNull(open);
  }

  @Override
  public void beforeAll(ExtensionContext context) {
    PlaywrightAssertions.setDefaultAssertionTimeout(PATIENCE);
    open =
        context
            .getRoot()
            .getStore(ExtensionContext.Namespace.create(OneBrowser.class))
            .getOrComputeIfAbsent("browser", name -> start(), Chromium.class);
  }

  private static Chromium start() {
    try {
      return new Chromium();
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  @Override
  public void afterTestExecution(ExtensionContext context) {
    Chromium chromium = get();
    boolean failed = context.getExecutionException().isPresent();
    if (failed) {
      chromium.pictureAll(
          "failed-"
              + context.getRequiredTestClass().getSimpleName()
              + "-"
              + context.getDisplayName());
    }
    int taken = chromium.closePages();
    if (!failed) {
      assertThat(taken).as("pictures that the test leaves").isPositive();
    }
  }
}
