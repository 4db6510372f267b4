package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.util.regex.Pattern;
import kitproof.peer.Mosquitto;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** A batch and its results, told once: in all sizes and colours, by pointer and by keyboard. */
class BatchPagesIT extends BoardPages {
  private static final String TWELVE = "?shop=attic&product=linnet-12&batch=first+twelve";

  private static Mosquitto broker;
  private static Shop shop;

  @BeforeAll
  static void tellOnce() throws Exception {
    broker = Mosquitto.inMemory(folder).start();
    try (Teller teller = new Teller(broker.port())) {
      teller.tell(Batches.twelve());
      teller.tell(Batches.drifting());
    }
    shop = Shop.open(broker.port());
  }

  @AfterAll
  static void end() {
    shop.close();
    broker.close();
  }

  /**
   * Every unit has been heard of: before, its page is answered with 404, of which a browser
   * complains.
   */
  private Page board() {
    Page board = open(shop, TWELVE);
    assertThat(board.locator("#units tr")).hasCount(11);
    return board;
  }

  @Test
  void aBoardThatStartsInMidBatchIsRightAtOnceInAllSizesAndColours() {
    Page page = board();
    assertThat(page.locator("#units tr")).hasCount(11);
    assertThat(page.locator(".station")).hasCount(3);
    assertThat(page.locator("#figures")).containsText("First-pass yield");
    chromium.assertAccessible(page);
    chromium.wholePicture(page, "board-light");
    Page dark = open(shop, TWELVE, 1280, 900, ColorScheme.DARK);
    assertThat(dark.locator("#units tr")).hasCount(11);
    chromium.assertAccessible(dark);
    chromium.wholePicture(dark, "board-dark");
    Page phone = open(shop, TWELVE, 360, 740, ColorScheme.LIGHT);
    assertThat(phone.locator("#units tr")).hasCount(11);
    chromium.assertAccessible(phone);
    Chromium.assertNothingSticksOut(phone);
    chromium.wholePicture(phone, "board-phone");
    chromium.assertNoComplaints();
  }

  @Test
  void curvesAreReadZoomedAndLaidOverOneAnotherByKeyboard() {
    board().close();
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
    page.keyboard().press("+");
    page.keyboard().press("-"); // all again, but for what logarithms lose
    page.keyboard().press("ArrowLeft");
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
  void aResultIsSeenAcrossTheBatch() {
    Page page = board();
    page.locator("#failures a").first().click();
    assertThat(page.locator("#name")).hasText("hum");
    assertThat(page.locator("#values tr")).hasCount(10);
    page.locator("#chart .plot").focus();
    page.keyboard().press("ArrowLeft");
    assertThat(page.locator("#chart .readout")).containsText("LN12-002: 550 µV, pass");
    page.keyboard().press("+"); // the last five stay in sight, the cursor among them
    page.keyboard().press("ArrowLeft");
    assertThat(page.locator("#chart .readout")).containsText("LN12-010: 500 µV, pass");
    for (int i = 0; i < 9; i++) {
      page.keyboard().press("ArrowLeft");
    }
    assertThat(page.locator("#chart .readout")).not().containsText("LN12-001");
    for (int i = 0; i < 6; i++) {
      page.keyboard().press("PageUp");
    }
    for (int i = 0; i < 9; i++) {
      page.keyboard().press("ArrowLeft");
    }
    assertThat(page.locator("#chart .readout")).containsText("LN12-001: ");
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

  @Test
  void whatTheValuesGoWithAndWhoseADriftIsAreSeenAndReadByKeyboard() {
    String path = "result?shop=attic&product=linnet-12&batch=autumn&name=hum";
    board().close();
    Page page = open(shop, path);
    assertThat(page.locator("#groups .plot")).hasCount(2);
    assertThat(page.locator("#groups-words")).containsText("Each group is 5 units in a row");
    page.locator("#groups .plot").first().focus();
    page.keyboard().press("ArrowLeft");
    assertThat(page.locator("#groups .readout").first())
        .containsText("group 8, LN12-236 to LN12-240: mean ");
    assertThat(page.locator("#against tr")).hasCount(3);
    assertThat(page.locator("#against tr").first()).containsText("between stations");
    assertThat(page.locator("#against tr").last()).containsText(" a volt of mains voltage");
    assertThat(page.locator("#against .mark.notable")).hasCount(3);
    page.locator("#kinds").selectOption("supply voltage");
    assertThat(page.locator("#against-chart h3")).hasText("Against supply voltage");
    page.locator("#against-chart .plot").focus();
    page.keyboard().press("ArrowRight");
    assertThat(page.locator("#against-chart .readout"))
        .containsText(Pattern.compile("LN12-2\\d\\d: .* µV at 225 V"));
    assertThat(page.locator("#drifts li"))
        .containsText(
            new String[] {"bench-1: the station drifts, not the units: by check standard CS-01"});
    chromium.assertAccessible(page);
    chromium.wholePicture(page, "result-trends");
    page.locator("#sizes").selectOption("4");
    assertThat(page.locator("#groups-words")).containsText("Each group is 4 units in a row");
    assertThat(page).hasURL(Pattern.compile(".*[?&]groups=4.*"));
    page.reload();
    assertThat(page.locator("#groups-words")).containsText("Each group is 4 units in a row");
    page.locator("#standards").selectOption("CS-01");
    assertThat(page).hasURL(Pattern.compile(".*[?&]standard=CS-01.*"));
    assertThat(page.locator("#drifts li")).hasCount(1);
    Page phone = open(shop, path, 360, 740, ColorScheme.DARK);
    assertThat(phone.locator("#groups .plot")).hasCount(2);
    phone.locator("#kinds").selectOption("station");
    assertThat(phone.locator("#against-chart h3")).hasText("Against station");
    assertWordsOnly(phone, "result-trends-phone-dark");
    chromium.assertNoComplaints();
  }
}
