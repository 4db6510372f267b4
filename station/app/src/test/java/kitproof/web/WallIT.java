package kitproof.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.board.Board;
import kitproof.board.Sender;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The display on the wall: large enough for five metres, and nothing to scroll. */
@ExtendWith(OneBrowser.class)
class WallIT {
  /**
   * A letter as high as a two hundredth of the distance (common practice, no source): 25 mm for
   * five metres, of a screen that is 1 m wide.
   */
  private static final double SHARE_OF_WIDTH = 0.025;

  /** Texts whose capitals are lower than this part of the width, of those that are in sight. */
  private static final String TOO_SMALL =
      """
      share => {
        const pen = document.createElement('canvas').getContext('2d');
        const seen = node => {
          for (let e = node; e; e = e.parentElement) {
            const style = getComputedStyle(e);
            if (style.display === 'none' || style.visibility === 'hidden' || style.clipPath !== 'none') return false;
          }
          return true;
        };
        const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
        const small = [];
        let all = 0;
        while (texts.nextNode()) {
          const text = texts.currentNode;
          if (!text.textContent.trim() || !seen(text.parentElement)) continue;
          all++;
          const {fontWeight, fontSize, fontFamily} = getComputedStyle(text.parentElement);
          pen.font = `${fontWeight} ${fontSize} ${fontFamily}`;
          const high = pen.measureText('H').actualBoundingBoxAscent;
          if (high < share * innerWidth) small.push(`${text.textContent} ${high} px`);
        }
        return all < 10 ? [`only ${all} texts`] : small;
      }\
      """;

  private final Chromium chromium = OneBrowser.get();

  private static Board told(List<Message> messages) {
    Board board = new Board(Instant::now);
    board.link(null);
    for (Message message : messages) {
      board.message(message.topic(), message.payload().getBytes(StandardCharsets.UTF_8));
    }
    return board;
  }

  private Page wall(BoardServer server, int width, int height, ColorScheme colours) {
    Page page = chromium.page(width, height, colours);
    page.navigate(server.address() + "?wall");
    assertThat(page.locator("#link")).hasText("live");
    return page;
  }

  /** Of every unit that may be live it says so, on its card or in the count of the others. */
  private static void assertNothingLiveIsHidden(Page page, int stations) {
    Object told =
        page.evaluate(
            """
            () => [...document.querySelectorAll('.station .opening .mark')]
              .filter(one => one.checkVisibility({visibilityProperty: true}) && one.textContent === 'do not open'
                && one.getBoundingClientRect().bottom <= innerHeight).length
              + Number(/^\\d+/.exec(document.getElementById('more-live').textContent)[0])\
            """);
    int live = 1; // the first station, and every third of those beyond the first three
    for (int i = 4; i <= stations; i++) {
      live += i % 3 == 1 ? 1 : 0;
    }
    assertThat(((Number) told).intValue()).as("units of which it says so").isEqualTo(live);
  }

  @Test
  void aUnitThatNobodyWatchesOverComesFirstAndAStationThatSaysNothingLast() throws Exception {
    List<Message> messages = new ArrayList<>(Batches.twelve(40));
    messages.addAll(
        new Sender("bench-41")
            .status(
                "online",
                ",\"opening\":{\"unit\":\"U\",\"safeToOpen\":\"unknown\",\"reason\":\"x\"}")
            .sent());
    messages.addAll(
        new Sender("bench-42")
            .unit("LN12-900", 30, 0.5e-3).sent().stream()
                .filter(message -> !message.topic().endsWith("/status"))
                .toList());
    Board board = told(messages);
    try (BoardServer server = BoardServer.start(board, new Access("127.0.0.1", 0, null))) {
      Page page = wall(server, 1920, 1080, ColorScheme.DARK);
      assertThat(page.locator(".station").first()).containsText("bench-41");
      assertThat(page.locator(".station").first()).containsText("treat as live, do not open");
      assertThat(page.locator("#more-stations")).containsText("1 not told");
      assertReadable(page);
      chromium.picture(page, "wall-first-and-last");
      chromium.assertNoComplaints();
    }
  }

  private static void assertReadable(Page page) {
    assertThat((List<?>) page.evaluate(TOO_SMALL, SHARE_OF_WIDTH)).as("too small").isEmpty();
    assertThat((Boolean) page.evaluate("document.documentElement.scrollHeight <= innerHeight"))
        .as("the wall display needs no scrolling")
        .isTrue();
    Chromium.assertNothingSticksOut(page);
  }

  @ParameterizedTest
  @CsvSource({"3, 1920, 1080, DARK", "3, 1280, 720, LIGHT", "40, 1920, 1080, LIGHT"})
  void whatItShowsIsReadFromFiveMetresAndFits(
      int stations, int width, int height, ColorScheme colours) throws Exception {
    Board board = told(Batches.twelve(stations));
    try (BoardServer server = BoardServer.start(board, new Access("127.0.0.1", 0, null))) {
      Page page = wall(server, width, height, colours);
      assertThat(page.locator("#units tr").first()).isVisible();
      assertThat(page.locator(".station").first()).containsText("testing");
      assertThat(page.locator(".home")).hasText("linnet-12, first twelve");
      if (stations > 3) {
        assertThat(page.locator("#more-stations")).containsText("more: ");
        assertThat(page.locator("#more-live")).containsText("of these: do not open");
        assertNothingLiveIsHidden(page, stations);
      } else {
        assertThat(page.locator(".station")).hasCount(stations);
        assertThat(page.locator("#units tr").nth(2)).isVisible();
      }
      assertReadable(page);
      chromium.assertAccessible(page);
      chromium.picture(page, "wall-" + stations + "-" + width);

      board.link("the broker is gone");
      assertThat(page.locator("#stale")).containsText("What you see is old");
      assertReadable(page);
      chromium.picture(page, "wall-old-" + stations + "-" + width);
      chromium.assertNoComplaints();
    }
  }

  @Test
  void longNamesAndSilentStationsDoNotPushAnythingOffTheWall() throws Exception {
    String endless = "W".repeat(300);
    Sender one = new Sender("bench-" + endless);
    one.unit(endless, endless, 1, 2e-3, -2).unit(endless + "2", endless, 2, 0.5e-3, -0.5);
    one.running(endless, endless, 3);
    List<Message> messages = one.sent();
    Instant[] now = {Instant.now()};
    Board board = new Board(() -> now[0]);
    board.link(null);
    for (Message message : messages) {
      board.message(message.topic(), message.payload().getBytes(StandardCharsets.UTF_8));
    }
    now[0] = now[0].plusSeconds(3600);
    try (BoardServer server = BoardServer.start(board, new Access("127.0.0.1", 0, null))) {
      Page page = wall(server, 1920, 1080, ColorScheme.LIGHT);
      assertThat(page.locator(".mark.silent")).hasText("silent for 60 min");
      assertThat(page.locator(".mark.silent svg")).isVisible();
      assertReadable(page);
      chromium.assertAccessible(page);
      chromium.picture(page, "wall-long");
      chromium.assertNoComplaints();
    }
  }
}
