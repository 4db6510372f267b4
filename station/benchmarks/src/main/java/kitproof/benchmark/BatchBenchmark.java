package kitproof.benchmark;

import com.fasterxml.jackson.databind.JsonNode;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import kitproof.board.Across;
import kitproof.journal.RunRecord;
import kitproof.mqtt.Message;
import kitproof.mqtt.RecordMessage;
import kitproof.peer.Mosquitto;

/** A batch of very many units beside one of few: how long their pages take until all is painted. */
final class BatchBenchmark {
  private static final int SMALL = 200;
  private static final int TIMES = 7;

  /** Records of thousands of runs take a minute; what is not there then does not come. */
  private static final Duration PATIENCE = Duration.ofMinutes(10);

  /** A page of the large batch takes no more than so many times as long as one of the small one. */
  private static final double MOST_RATIO = 1.5;

  /** Rows of a page, of whichever batch. */
  private static final int ROWS = 50;

  private final PagesProgram board;
  private final Browser browser;

  private BatchBenchmark(PagesProgram board, Browser browser) {
    this.board = board;
    this.browser = browser;
  }

  /**
   * Measures.
   *
   * @param large units of the large batch
   * @return whether every result has come, and pages of both batches open about as quickly
   */
  static boolean run(Mosquitto broker, Crier crier, Browser browser, int large) throws Exception {
    fill(crier, "large", large);
    fill(crier, "small", SMALL);
    crier.settled();
    try (PagesProgram board = PagesProgram.launchedBoard(broker.port())) {
      double serving = board.seconds();
      BoardAsked.await(() -> tested(board, "small") == SMALL && tested(board, "large") == large);
      BoardBenchmark.say(
          "board: begun late, right about a batch of %d units %.2f s after it serves",
          large, board.seconds() - serving);
      long end = System.nanoTime() + PATIENCE.toNanos();
      int without = across(board, "large").path("without").asInt(1);
      while (without > 0 && System.nanoTime() < end) {
        Thread.sleep(1000); // asking is work for the board too
        without = across(board, "large").path("without").asInt(1);
      }
      BoardBenchmark.say(
          without == 0
              ? "board: all their results are there after %.1f s"
              : "board: after %.1f s the results of %d units are NOT there",
          board.seconds() - serving,
          without);
      boolean alike = new BatchBenchmark(board, browser).pages(large) <= MOST_RATIO;
      BoardBenchmark.say(
          "board: %.0f MiB of heap in use (of 256), %.0f MiB resident at most",
          board.liveHeap(), board.resident());
      return without == 0 && alike;
    }
  }

  /** By turns, so that whatever else the machine does meets both; gives the worst ratio. */
  private double pages(int large) throws IOException {
    String small = "shop=shop&product=Linnet+12&batch=small";
    String big = "shop=shop&product=Linnet+12&batch=large";
    String result = "&name=gain+0";
    double ofBatch =
        compare(large, "the batch's page", "?" + small, "?" + big, "#units tr", "/api/overview?");
    double ofResult =
        compare(
            large,
            "a result across it",
            "result?" + small + result,
            "result?" + big + result,
            "#values tr",
            "/api/result?");
    BoardBenchmark.say(
        "board: the answer of a result made anew, as after a change: %.0f ms and %.0f ms",
        anew("/api/result?" + small + result), anew("/api/result?" + big + result));
    return Math.max(ofBatch, ofResult);
  }

  /**
   * What has been answered is kept, so each time something else is asked: other groups of units.
   */
  private double anew(String path) throws IOException {
    double[] millis = new double[Across.LARGEST_SUBGROUP - Across.USUAL_SUBGROUP];
    for (int i = 0; i < millis.length; i++) {
      long began = System.nanoTime();
      BoardAsked.ask(board, path + "&groups=" + (Across.USUAL_SUBGROUP + 1 + i));
      millis[i] = (System.nanoTime() - began) / 1e6;
    }
    Arrays.sort(millis);
    return millis[millis.length / 2];
  }

  private double compare(
      int large, String what, String small, String big, String rows, String answers)
      throws IOException {
    double[] ofSmall = new double[TIMES];
    double[] ofLarge = new double[TIMES];
    for (int i = -1; i < TIMES; i++) { // the first ones warm up
      double one = opens(small, rows);
      double other = opens(big, rows);
      if (i >= 0) {
        ofSmall[i] = one;
        ofLarge[i] = other;
      }
    }
    Arrays.sort(ofSmall);
    Arrays.sort(ofLarge);
    double ratio = ofLarge[TIMES / 2] / ofSmall[TIMES / 2];
    String askSmall = answers + small.substring(small.indexOf('?') + 1);
    String askLarge = answers + big.substring(big.indexOf('?') + 1);
    BoardBenchmark.say(
        "board: %s, of %d and of %d units: %.2f s and %.2f s until all its rows are painted, ratio"
            + " %.2f, %s (medians of %d); the answer alone %.1f ms and %.1f ms, %d kB and %d kB",
        what,
        SMALL,
        large,
        ofSmall[TIMES / 2],
        ofLarge[TIMES / 2],
        ratio,
        ratio <= MOST_RATIO ? "about as quickly" : "NOT as quickly",
        TIMES,
        BoardAsked.millis(board, askSmall),
        BoardAsked.millis(board, askLarge),
        BoardAsked.ask(board, askSmall).length() / 1000,
        BoardAsked.ask(board, askLarge).length() / 1000);
    return ratio;
  }

  /** Seconds from the click to the last row, and the chart if there is one, on the screen. */
  private double opens(String path, String rows) {
    Page page = browser.page(1280, 900, ColorScheme.LIGHT);
    long began = System.nanoTime();
    page.navigate(board.address() + path);
    page.waitForFunction(
        "([rows, count]) => document.querySelectorAll(rows).length === count &&"
            + " [...document.querySelectorAll('#chart')].every(one => one.querySelector('canvas'))",
        List.of(rows, ROWS));
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done)))");
    double seconds = (System.nanoTime() - began) / 1e9;
    page.context().close();
    return seconds;
  }

  /** Retained messages of so many units: one run is made up, and told under other names. */
  static void fill(Crier crier, String batch, int units) {
    Instant now = Instant.now().minusSeconds(units);
    MadeUpRun made =
        new MadeUpRun(
            "bench-1",
            "SERIAL",
            batch,
            now,
            Duration.ofSeconds(1),
            MadeUpShop.STEPS,
            new Random(1));
    RunRecord run = RunRecord.of(made.entries());
    Message verdict = RecordMessage.verdict(run, run.run() + "/1", units);
    Message record = RecordMessage.of(run, run.run() + "/1", units);
    Random random = new Random(2);
    for (int i = 0; i < units; i++) {
      String serial = String.format(Locale.ROOT, "%s-%05d", batch, i);
      String time = now.plusSeconds(i).toString();
      double gain = 27.3 + 0.1 * random.nextGaussian();
      for (Message message : List.of(verdict, record)) {
        crier.cry(
            serial,
            message.topic().replace("SERIAL", serial),
            message
                .payload()
                .replace("SERIAL", serial)
                .replace(run.ended() + "", time)
                .replaceFirst("(\"quantity\":\\{\"value\":)[0-9.]+", "$1" + gain),
            true);
      }
    }
  }

  private static int tested(PagesProgram board, String batch) throws IOException {
    return BoardAsked.get(board, "/api/overview?shop=shop&product=Linnet+12&batch=" + batch)
        .at("/batch/tested")
        .asInt();
  }

  private static JsonNode across(PagesProgram board, String batch) throws IOException {
    return BoardAsked.get(
        board, "/api/result?shop=shop&product=Linnet+12&name=gain+0&batch=" + batch);
  }
}
