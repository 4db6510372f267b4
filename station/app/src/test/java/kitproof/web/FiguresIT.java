package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import kitproof.board.Sender;
import kitproof.peer.Mosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What stands beside figures on the pages of units and results. */
class FiguresIT extends BoardPages {
  private Mosquitto broker;

  @BeforeEach
  void startBroker() throws IOException {
    broker = Mosquitto.inMemory(folder).start();
  }

  @AfterEach
  void stopBroker() {
    broker.close();
  }

  @Test
  void whatFailedIsToldAsItWasJudgedAndNotAsItsPassingSister() throws Exception {
    Sender sender = new Sender("bench-1").guarded(5e-5).known(6.11e-6).twice();
    sender.unit("LN12-001", 1, 0.98e-3);
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(sender.sent());
    }
    try (Shop shop = Shop.open(broker.port())) {
      Page page = open(shop, "");
      page.locator("#units a").first().click();
      assertThat(page.locator("#results tr")).hasCount(3);
      assertThat(page.locator("#failed .mark")).hasText(new String[] {"in the guard band"});
      assertThat(page.locator("#failed li")).containsText("hum (mode triode): too near to 1 mV");
      assertThat(page.locator("#results .uncertainty"))
          .hasText(new String[] {"± 13 µV at k = 2", "± 13 µV at k = 2"});
      chromium.assertAccessible(page);
      chromium.wholePicture(page, "unit-guard-band");
      chromium.assertNoComplaints();
    }
  }

  @Test
  void whatAReaderMustKnowOfAFigureStandsBesideIt() throws Exception {
    Sender sender = new Sender("bench-1").uncalibrated().guarded(5e-5);
    for (int i = 1; i <= 12; i++) {
      sender.unit("LN12-%03d".formatted(i), i, i == 9 ? 0.9e-3 : 0.5e-3 + 0.01e-3 * (i * 7 % 5));
    }
    sender.running("LN12-013", 13);
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(sender.sent());
    }
    try (Shop shop = Shop.open(broker.port())) {
      Page page = open(shop, "");
      assertThat(page.locator("#units tr")).hasCount(12);
      assertThat(page.locator("#units .mark.uncalibrated")).hasCount(12);
      page.locator("#units a").first().click();
      assertThat(page.locator("#standing")).hasText("uncalibrated");
      assertThat(page.locator("#results .remark"))
          .hasText(new String[] {"uncalibrated", "uncalibrated"});
      assertThat(page.locator("#results tr").first()).containsText("guard band 50 µV");
      assertThat(page.locator(".keys .swatch.guard")).hasCount(1);
      chromium.assertAccessible(page);
      chromium.wholePicture(page, "unit-uncalibrated");
      page.locator("#results a").first().click();
      assertThat(page.locator("#statistics")).containsText("Cpk");
      assertThat(page.locator("#statistics")).containsText("with 95 % confidence");
      assertThat(page.locator("#remarks")).containsText("LN12-009 is unlike its sisters, 900 µV");
      assertThat(page.locator("#chart .keys .swatch.guard")).hasCount(1);
      assertThat(page.locator("#chart .keys .swatch.ring")).hasCount(1);
      assertThat(page.locator("#values .remark")).hasCount(12);
      page.locator("#chart .plot").focus();
      for (int i = 0; i < 4; i++) {
        page.keyboard().press("ArrowLeft");
      }
      assertThat(page.locator("#chart .readout"))
          .containsText("LN12-009: 900 µV, uncalibrated, pass (limit: at most 1 mV); 1 point");
      chromium.assertAccessible(page);
      chromium.wholePicture(page, "result-statistics");
      Page phone =
          open(shop, page.url().substring(shop.address().length()), 360, 740, ColorScheme.DARK);
      assertThat(phone.locator("#statistics")).containsText("Cpk");
      assertWordsOnly(phone, "result-statistics-phone-dark");
      chromium.assertNoComplaints();
    }
  }
}
