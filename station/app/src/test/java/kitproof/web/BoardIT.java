package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.file.Files;
import java.util.regex.Pattern;
import kitproof.board.Sender;
import kitproof.peer.Mosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The dashboard as it is watched: live, late, old, on a wall, and behind a token. */
class BoardIT extends BoardPages {
  private Mosquitto broker;

  @BeforeEach
  void startBroker() throws IOException {
    broker =
        Mosquitto.open(Files.createTempDirectory(folder, "broker")).start(); // it may be killed
  }

  @AfterEach
  void stopBroker() {
    broker.close();
  }

  @Test
  void aUnitIsWatchedFromItsStartToItsVerdict() throws Exception {
    try (Shop shop = Shop.open(broker.port());
        Teller teller = new Teller(broker.port())) {
      Page page = open(shop, "");
      assertThat(page.locator("#no-stations")).isVisible();
      assertThat(page.locator("#link")).hasText("live");
      chromium.assertAccessible(page);
      chromium.picture(page, "board-empty");

      teller.tell(new Sender("bench-1").running("LN12-001", 1).sent());
      Locator card = page.locator(".station");
      assertThat(card).containsText("LN12-001");
      assertThat(card).containsText("hum (mode triode)");
      assertThat(card).containsText("step 2 of 4, about 23 s left");
      assertThat(card.locator(".mark").first()).hasText("testing");
      assertThat(page.locator("#batch-title")).hasText("Batch linnet-12, pilot");

      teller.tell(new Sender("bench-1").unit("LN12-001", 1, 2e-3).sent());
      teller.tell(new Sender("bench-1").status("online", "").sent());
      assertThat(page.locator("#units tr")).hasCount(1);
      assertThat(page.locator("#units tr .mark")).hasText("fail");
      assertThat(page.locator("#units .what")).hasText("hum");
      assertThat(page.locator("#news")).hasText("LN12-001: fail");
      assertThat(page.locator("#failures tr")).containsText(new String[] {"hum"});
      assertThat(card.locator(".mark").first()).hasText("ready");

      page.locator("#units a").click();
      assertThat(page.locator("#serial")).hasText("LN12-001");
      assertThat(page.locator("#verdict")).hasText("fail");
      assertThat(page.locator("#failed")).containsText("hum (mode triode): above 1 mV");
      assertThat(page.locator("#results tr")).hasCount(2);
      assertThat(page.locator("#results tr").first()).containsText("2 mV");
      assertThat(page.locator("#results tr").first()).containsText("at most 1 mV");
      chromium.assertNoComplaints();
    }
  }

  @Test
  void theWallDisplayKeepsTheBatchThatWasChosen() throws Exception {
    Sender sender = new Sender("bench-1").unit("A", "first", 1, 0.5e-3, -0.5);
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(sender.unit("B", "second", 2, 0.5e-3, -0.5).sent());
    }
    try (Shop shop = Shop.open(broker.port())) {
      Page page = open(shop, "");
      assertThat(page.locator("#batch-title")).hasText("Batch linnet-12, second");
      page.locator("#batches")
          .selectOption(
              new com.microsoft.playwright.options.SelectOption()
                  .setLabel("linnet-12, first (attic)"));
      assertThat(page.locator("#batch-title")).hasText("Batch linnet-12, first");
      page.locator("#wall").click();
      assertThat(page.locator(".home")).hasText("linnet-12, first");
      chromium.picture(page, "wall-of-a-chosen-batch");
      page.locator("#wall").press("Enter"); // seen only while it has the focus
      assertThat(page.locator("#batch-title")).hasText("Batch linnet-12, first");
      assertThat(page.locator("#wall")).hasText("Wall display");
      chromium.assertNoComplaints();
    }
  }

  @Test
  void itSaysWhenWhatItShowsIsOldAndComesBackByItself() throws Exception {
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(Batches.twelve());
    }
    Shop shop = Shop.open(broker.port());
    int port = java.net.URI.create(shop.address()).getPort();
    Page page = open(shop, "");
    assertThat(page.locator("#units tr")).hasCount(11);
    broker.kill();
    assertThat(page.locator("#stale")).containsText("What you see is old");
    assertThat(page.locator("#stale")).containsText("broker");
    assertThat(page.locator("#link")).hasText("not live");
    chromium.assertAccessible(page);
    chromium.picture(page, "board-offline");
    broker.start();
    assertThat(page.locator("#stale")).isHidden();
    shop.close();
    assertThat(page.locator("#stale"))
        .containsText(
            "What you see is old",
            new com.microsoft.playwright.assertions.LocatorAssertions.ContainsTextOptions()
                .setTimeout(20_000));
    try (Shop again = new Shop(broker.port(), new Access("127.0.0.1", port, null))) {
      assertThat(page.locator("#stale"))
          .isHidden(
              new com.microsoft.playwright.assertions.LocatorAssertions.IsHiddenOptions()
                  .setTimeout(20_000));
      assertThat(page.locator("#units tr")).hasCount(11);
      assertThat(again.address()).contains(":" + port);
    }
  }

  @Test
  void beyondThisMachineNobodyGetsInWithoutTheToken() throws Exception {
    String token = "a token nobody guesses";
    try (Shop shop = new Shop(broker.port(), new Access("0.0.0.0", 0, token))) {
      String address = shop.address().replaceFirst("//[^/]+:", "//127.0.0.1:");
      Page page = chromium.page(800, 600, ColorScheme.LIGHT);
      assertThat(page.request().get(address + "api/overview").status()).isEqualTo(401);
      page.navigate(address);
      assertThat(page).hasURL(Pattern.compile(".*/login"));
      chromium.assertAccessible(page);
      page.locator("#token").fill("not the right token");
      page.locator("button").click();
      assertThat(page.locator("#wrong")).isVisible();
      chromium.picture(page, "login");
      page.locator("#token").fill(token);
      page.locator("button").click();
      assertThat(page.locator("#no-stations")).isVisible();
      assertThat(page.locator("#link")).hasText("live");
      chromium.assertNoComplaints();
    }
  }
}
