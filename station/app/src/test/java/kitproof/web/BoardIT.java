package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import kitproof.board.Sender;
import kitproof.mqtt.Message;
import kitproof.peer.Mosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/** The dashboard in a real browser, fed by a real broker. */
@ExtendWith(OneBrowser.class)
class BoardIT {
  private final Chromium chromium = OneBrowser.get();
  @TempDir Path folder;
  private Mosquitto broker;

  @BeforeEach
  void startBroker() throws IOException {
    broker = Mosquitto.open(folder.resolve("broker")).start();
  }

  @AfterEach
  void stopBroker() {
    broker.close();
  }

  private Page open(Shop shop, String path) {
    return open(shop, path, 1280, 900, ColorScheme.LIGHT);
  }

  private Page open(Shop shop, String path, int width, int height, ColorScheme colours) {
    Page page = chromium.page(width, height, colours);
    page.navigate(shop.address() + path);
    return page;
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
  void aBoardThatStartsInMidBatchIsRightAtOnceInAllSizesAndColours() throws Exception {
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(Batches.twelve());
    }
    try (Shop shop = Shop.open(broker.port())) {
      Page page = open(shop, "");
      assertThat(page.locator("#units tr")).hasCount(11);
      assertThat(page.locator(".station")).hasCount(3);
      assertThat(page.locator("#figures")).containsText("First-pass yield");
      chromium.assertAccessible(page);
      chromium.wholePicture(page, "board-light");
      Page dark = open(shop, "", 1280, 900, ColorScheme.DARK);
      assertThat(dark.locator("#units tr")).hasCount(11);
      chromium.assertAccessible(dark);
      chromium.wholePicture(dark, "board-dark");
      Page phone = open(shop, "", 360, 740, ColorScheme.LIGHT);
      assertThat(phone.locator("#units tr")).hasCount(11);
      chromium.assertAccessible(phone);
      Chromium.assertNothingSticksOut(phone);
      chromium.wholePicture(phone, "board-phone");
      chromium.assertNoComplaints();
    }
  }

  @Test
  void curvesAreReadZoomedAndLaidOverOneAnotherByKeyboard() throws Exception {
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(Batches.twelve());
    }
    try (Shop shop = Shop.open(broker.port())) {
      // A unit that the board does not know yet is answered with 404, which a browser complains of.
      Page board = open(shop, "");
      assertThat(board.getByText("LN12-007").first()).isVisible();
      assertThat(board.getByText("LN12-001").first()).isVisible();
      board.close();
      Page page = open(shop, "unit?shop=attic&product=linnet-12&unit=LN12-007");
      assertThat(page.locator("#verdict")).hasText("fail");
      Locator chart = page.locator(".plot");
      chart.focus();
      page.keyboard().press("ArrowRight");
      assertThat(page.locator(".readout")).containsText("20 Hz — mode triode: −2.2 dB");
      assertTinted(page);
      page.keyboard().press("+"); // half of what is seen, about the cursor
      steps(page, 60);
      assertThat(page.locator(".readout")).containsText(Pattern.compile("^[56]\\d\\d(\\.\\d)? Hz"));
      page.keyboard().press("0");
      assertThat(cursor(page)).as("half of three decades").isCloseTo(0.5, within(0.03));
      steps(page, 60);
      assertThat(page.locator(".readout")).containsText("20 kHz — mode triode: −0.4");
      assertThat(cursor(page)).isCloseTo(1, within(0.01));
      page.locator("#other")
          .selectOption(
              new com.microsoft.playwright.options.SelectOption().setLabel("LN12-001, pass"));
      assertThat(page.locator(".keys li")).hasCount(3);
      chromium.assertAccessible(page);
      chromium.wholePicture(page, "unit-light");
      page.locator("#only").check();
      assertThat(page.locator("#results tr")).hasCount(2);
      Page phone =
          open(shop, "unit?shop=attic&product=linnet-12&unit=LN12-007", 360, 740, ColorScheme.DARK);
      assertThat(phone.locator("#results tr")).hasCount(2);
      Chromium.assertNothingSticksOut(phone);
      chromium.assertAccessible(phone);
      chromium.wholePicture(phone, "unit-phone-dark");
      chromium.assertNoComplaints();
    }
  }

  private static void steps(Page page, int count) {
    for (int i = 0; i < count; i++) {
      page.keyboard().press("ArrowRight");
    }
  }

  /** Where the cursor of the chart is, from 0 at its left to 1. */
  private static double cursor(Page page) {
    return ((Number)
            page.evaluate(
                """
                () => {
                  const area = document.querySelector('.plot .u-over').getBoundingClientRect();
                  const at = document.querySelector('.plot .u-cursor-x').getBoundingClientRect();
                  return (at.left - area.left) / area.width;
                }"""))
        .doubleValue();
  }

  /** Much of the chart has the colour of what is within the mask. */
  private static void assertTinted(Page page) {
    Object share =
        page.evaluate(
            """
            () => {
              const canvas = document.querySelector('.plot canvas');
              const seen = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
              const probe = document.createElement('canvas').getContext('2d');
              probe.fillStyle = getComputedStyle(document.documentElement).getPropertyValue('--band').trim();
              probe.fillRect(0, 0, 1, 1);
              const band = probe.getImageData(0, 0, 1, 1).data;
              let tinted = 0;
              for (let i = 0; i < seen.length; i += 4) {
                if (band.every((part, j) => Math.abs(part - seen[i + j]) <= 2)) tinted++;
              }
              return tinted / (seen.length / 4);
            }""");
    assertThat(((Number) share).doubleValue()).isBetween(0.05, 0.9);
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
  void aResultIsSeenAcrossTheBatch() throws Exception {
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(Batches.twelve());
    }
    try (Shop shop = Shop.open(broker.port())) {
      Page page = open(shop, "");
      page.locator("#failures a").first().click();
      assertThat(page.locator("#name")).hasText("hum");
      assertThat(page.locator("#values tr")).hasCount(10);
      page.locator(".plot").focus();
      page.keyboard().press("ArrowLeft");
      assertThat(page.locator(".readout")).containsText("LN12-002: 550 µV, pass");
      page.keyboard().press("+"); // the last five stay in sight, the cursor among them
      page.keyboard().press("ArrowLeft");
      assertThat(page.locator(".readout")).containsText("LN12-010: 500 µV, pass");
      for (int i = 0; i < 9; i++) {
        page.keyboard().press("ArrowLeft");
      }
      assertThat(page.locator(".readout")).not().containsText("LN12-001");
      for (int i = 0; i < 6; i++) {
        page.keyboard().press("PageUp");
      }
      for (int i = 0; i < 9; i++) {
        page.keyboard().press("ArrowLeft");
      }
      assertThat(page.locator(".readout")).containsText("LN12-001: ");
      chromium.assertAccessible(page);
      chromium.wholePicture(page, "result-light");
      Page curves =
          open(
              shop,
              "result?shop=attic&product=linnet-12&batch=first+twelve&name=frequency+response",
              1280,
              900,
              ColorScheme.DARK);
      assertThat(curves.locator(".keys li")).hasCount(11);
      chromium.assertAccessible(curves);
      chromium.wholePicture(curves, "result-curves-dark");
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
  void hostileWordsStayWordsAndHostileMessagesAreCounted() throws Exception {
    String markup = "<img src=x onerror=alert(1)><script>alert(2)</script>&amp;";
    String endless = "W".repeat(900);
    try (Shop shop = Shop.open(broker.port());
        Teller teller = new Teller(broker.port())) {
      Page page = open(shop, "", 360, 740, ColorScheme.LIGHT);
      teller.tell(new Sender(markup).running(markup, 1).sent());
      teller.tell(new Sender("bench-2").unit(markup, markup, 2, 2e-3, -2).sent());
      teller.tell(new Sender("bench-2").unit(endless, markup, 3, 2e-3, -2).sent());
      teller.tell("kitproof/1/attic/bench-2/status", "{".getBytes(StandardCharsets.UTF_8), false);
      teller.tell("kitproof/1/attic/bench-2/result", new byte[700_000], false);
      teller.tell(new Sender("bench-4").status("online", "").sent());
      assertThat(page.locator(".station")).hasCount(3);
      assertThat(page.locator("#units tr")).hasCount(2);
      assertThat(page.locator("#counts")).containsText("1 malformed, 1 oversized");
      assertThat(page.locator("#units")).containsText(markup);
      assertThat(page.locator("main img, main script")).hasCount(0);
      Chromium.assertNothingSticksOut(page);
      chromium.assertAccessible(page);
      chromium.wholePicture(page, "board-hostile-phone");
      page.locator("#units a").last().click();
      assertThat(page.locator("#serial")).hasText(markup);
      assertThat(page.locator("#results tr")).hasCount(2);
      assertThat(page.locator("main img, main script")).hasCount(0);
      chromium.assertNoComplaints();
    }
  }

  /** The same messages with other words in the place of names, whatever these hold. */
  private static List<Message> renamed(List<Message> messages, Map<String, String> words)
      throws IOException {
    List<Message> renamed = new ArrayList<>();
    for (Message message : messages) {
      String payload = message.payload();
      for (Map.Entry<String, String> word : words.entrySet()) {
        String json = new ObjectMapper().writeValueAsString(word.getValue());
        payload = payload.replace(word.getKey(), json.substring(1, json.length() - 1));
      }
      renamed.add(new Message(message.topic(), message.id(), payload, message.retained()));
    }
    return renamed;
  }

  @Test
  void hostileNamesOfResultsConditionsStepsAndNoticesStayWordsOnEveryPage() throws Exception {
    String markup = "<img src=x onerror=alert(1)><script>alert(2)</script>&amp; ";
    Map<String, String> words =
        Map.of(
            "hum", markup + "h".repeat(900),
            "triode", markup + "t".repeat(900),
            "at most 1 mV", markup + "d".repeat(900),
            "final test", markup + "f".repeat(900));
    Sender sender = new Sender("bench-1");
    sender.unit("LN12-001", 1, 2e-3).unit("LN12-002", 2, 0.5e-3).running("LN12-003", 3);
    sender.notice("LN12-003", 3, markup + "n".repeat(900));
    try (Shop shop = Shop.open(broker.port());
        Teller teller = new Teller(broker.port())) {
      teller.tell(renamed(sender.sent(), words));
      Page page = open(shop, "", 360, 740, ColorScheme.LIGHT);
      assertThat(page.locator("#units tr")).hasCount(2);
      assertThat(page.locator("#failures")).containsText("<script>alert(2)</script>&amp; hhh");
      assertThat(page.locator(".station .step")).containsText("onerror=alert(1)");
      assertThat(page.locator(".station .notices")).containsText("onerror=alert(1)");
      assertThat(page.locator("#counts")).not().containsText("malformed");
      assertWordsOnly(page, "board-names-phone");
      page.locator("#units a").last().click();
      assertThat(page.locator("#results")).containsText("<script>alert(2)</script>&amp; ttt");
      assertThat(page.locator("#facts")).containsText("<script>alert(2)</script>&amp; fff");
      assertThat(page.locator("#failed")).containsText("above 1 mV");
      assertWordsOnly(page, "unit-names-phone");
      page.locator("#results a").first().click();
      assertThat(page.locator("#name")).containsText("<script>alert(2)</script>&amp; hhh");
      assertThat(page.locator("#values tr")).hasCount(2);
      assertWordsOnly(page, "result-names-phone");
      Page wall = open(shop, "?wall", 1920, 1080, ColorScheme.DARK);
      assertThat(wall.locator(".station .notices")).containsText("onerror=alert(1)");
      assertWordsOnly(wall, "wall-names");
      chromium.assertNoComplaints();
    }
  }

  private void assertWordsOnly(Page page, String picture) {
    assertThat(page.locator("main img, main script")).hasCount(0);
    Chromium.assertNothingSticksOut(page);
    chromium.assertAccessible(page);
    chromium.wholePicture(page, picture);
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
      assertThat(page.locator(".keys .swatch.guard")).hasCount(1);
      assertThat(page.locator(".keys .swatch.ring")).hasCount(1);
      assertThat(page.locator("#values .remark")).hasCount(12);
      page.locator(".plot").focus();
      for (int i = 0; i < 4; i++) {
        page.keyboard().press("ArrowLeft");
      }
      assertThat(page.locator(".readout"))
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
