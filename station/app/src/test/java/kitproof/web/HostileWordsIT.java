package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.board.Sender;
import kitproof.mqtt.Message;
import kitproof.peer.Mosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Whatever anybody tells the broker, pages show words and count what is none. */
class HostileWordsIT extends BoardPages {
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

  @Test
  void hostileNamesOfStationsCheckStandardsAndWhatValuesGoWithStayWords() throws Exception {
    String markup = "<img src=x onerror=alert(1)><script>alert(2)</script>&amp; ";
    String bench = markup + "b".repeat(400);
    String standard = markup + "s".repeat(400);
    try (Shop shop = Shop.open(broker.port());
        Teller teller = new Teller(broker.port())) {
      String result = markup + "r".repeat(400);
      teller.tell(
          renamed(Batches.drifting(bench, markup + "other", standard), Map.of("hum", result)));
      Page board = open(shop, "?shop=attic&product=linnet-12&batch=autumn");
      assertThat(board.locator("#figures")).containsText("40");
      assertThat(board.locator(".station")).hasCount(2);
      String name = URLEncoder.encode(result, StandardCharsets.UTF_8);
      Page page =
          open(
              shop,
              "result?shop=attic&product=linnet-12&batch=autumn&name=" + name,
              360,
              740,
              ColorScheme.DARK);
      assertThat(page.locator("#name")).hasText(result);
      assertThat(page.locator("#groups .plot")).hasCount(2);
      page.locator("#kinds").selectOption("station");
      assertThat(page.locator("#against-chart h3")).hasText("Against station");
      page.locator("#against-chart .plot").focus();
      page.keyboard().press("ArrowRight");
      assertThat(page.locator("#against-chart .readout")).containsText("onerror=alert(1)");
      assertThat(page.locator("#against")).containsText("between stations");
      assertThat(page.locator("#drifts")).containsText("onerror=alert(1)");
      assertThat(page.locator("#drifts")).containsText("<script>alert(2)</script>&amp; sss");
      page.locator("#standards").selectOption(standard);
      assertThat(page.locator("#drifts li")).hasCount(1);
      assertWordsOnly(page, "result-trends-names-phone-dark");
      chromium.assertNoComplaints();
    }
  }
}
