package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.BrowserContext;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.nio.file.Path;
import kitproof.board.Sender;
import kitproof.peer.Mosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/** Several boards beside one broker, and several pages of one browser. */
@ExtendWith(OneBrowser.class)
class ManyPagesIT {
  /** A browser keeps so many lines to a server by HTTP/1.1, and no more. */
  private static final int LINES = 6;

  private final Chromium chromium = OneBrowser.get();
  @TempDir Path folder;
  private Mosquitto broker;

  @BeforeEach
  void startBroker() throws Exception {
    broker = Mosquitto.inMemory(folder.resolve("broker")).start();
  }

  @AfterEach
  void stopBroker() {
    broker.close();
  }

  private Page open(Shop shop, ColorScheme colours) {
    Page page = chromium.page(1280, 900, colours);
    page.navigate(shop.address());
    assertThat(page.locator("#link")).hasText("live");
    return page;
  }

  @Test
  void twoBoardsShowTheSameAndOneGoesOnWithoutTheOther() throws Exception {
    try (Shop first = Shop.open(broker.port());
        Teller teller = new Teller(broker.port())) {
      Page early = open(first, ColorScheme.LIGHT);
      teller.tell(Batches.twelve());
      assertThat(early.locator("#units tr")).hasCount(11);
      try (Shop second = Shop.open(broker.port())) {
        Page late = open(second, ColorScheme.DARK);
        assertThat(late.locator("#units tr")).hasCount(11);
        assertThat(late.locator(".station")).hasCount(3);
        for (String part : new String[] {"#units", "#failures", "#stations"}) {
          assertThat(late.locator(part)).hasText(early.locator(part).textContent());
        }
        teller.tell(new Sender("bench-1").unit("LN12-012", "first twelve", 14, 2e-3, -0.5).sent());
        assertThat(early.locator("#units tr").first()).containsText("LN12-012");
        assertThat(late.locator("#units tr").first()).containsText("LN12-012");
        chromium.picture(early, "two-boards-early");
        chromium.picture(late, "two-boards-late");
        late.close(); // it would complain that its board is gone
      }
      teller.tell(new Sender("bench-2").status("online", "").sent());
      assertThat(early.locator(".station").nth(1)).containsText("ready");
      assertThat(early.locator("#stale")).isHidden();
      chromium.assertNoComplaints();
    }
  }

  @Test
  void pagesThatNobodySeesLeaveTheirLinesToTheOthersAndComeBack() throws Exception {
    try (Shop shop = Shop.open(broker.port());
        Teller teller = new Teller(broker.port())) {
      Page first = open(shop, ColorScheme.LIGHT);
      BrowserContext session = first.context();
      Chromium.see(first, false);
      for (int i = 1; i < LINES; i++) {
        Page hidden = chromium.page(session);
        hidden.navigate(shop.address());
        assertThat(hidden.locator("#link")).hasText("live");
        Chromium.see(hidden, false);
      }
      Page seen = chromium.page(session);
      seen.navigate(shop.address());
      assertThat(seen.locator("#link")).hasText("live");
      teller.tell(new Sender("bench-1").status("online", "").sent());
      assertThat(seen.locator(".station")).containsText("ready");
      Chromium.see(seen, false);
      Chromium.see(first, true);
      assertThat(first.locator(".station")).containsText("ready");
      assertThat(first.locator("#link")).hasText("live");
      teller.tell(new Sender("bench-1").status("offline", "").sent());
      assertThat(first.locator(".station")).containsText("offline");
      chromium.picture(first, "seventh-page");
      chromium.assertNoComplaints();
    }
  }
}
