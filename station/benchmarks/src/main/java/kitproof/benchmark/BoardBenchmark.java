package kitproof.benchmark;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.stream.Stream;
import kitproof.journal.RunRecord;
import kitproof.mqtt.Message;
import kitproof.mqtt.RecordMessage;
import kitproof.peer.Mosquitto;

/**
 * The dashboard of a large shop: Mosquitto, the board as a program of its own, and its first page
 * in Chromium, all on this machine.
 *
 * <p>Arguments: the class path; stations; seconds for a unit; minutes to watch; units of the large
 * batch.
 */
public final class BoardBenchmark {
  private static final int SMALL_BATCH = 200;
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final HttpClient HTTP = HttpClient.newHttpClient();

  /** Notes, for each change of a station's step, how old it is once it has been painted. */
  private static final String WATCH =
      """
      () => {
        window.ages = [];
        const seen = new Map();
        const look = () => {
          const fresh = [];
          for (const step of document.querySelectorAll('.step')) {
            const told = Number((/after (\\d+)/.exec(step.textContent) ?? [])[1]);
            const card = step.parentElement.dataset.key;
            if (told && seen.get(card) !== told) {
              if (seen.has(card)) fresh.push(told);
              seen.set(card, told);
            }
          }
          if (fresh.length) {
            requestAnimationFrame(() => setTimeout(() => { // a task after the frame: it is painted
              const now = Date.now();
              fresh.forEach(told => window.ages.push(now - told));
            }));
          }
        };
        new MutationObserver(look).observe(document.getElementById('stations'),
          {childList: true, subtree: true, characterData: true});
        look();
      }\
      """;

  private BoardBenchmark() {}

  public static void main(String[] arguments) throws Exception {
    int stations = Integer.parseInt(arguments[1]);
    Duration unitTime = Duration.ofSeconds(Integer.parseInt(arguments[2]));
    Duration watched = Duration.ofMinutes(Integer.parseInt(arguments[3]));
    int large = Integer.parseInt(arguments[4]);
    Path folder = Files.createTempDirectory("kitproof-benchmark");
    try (Browser browser = new Browser()) {
      try (Mosquitto broker = Mosquitto.inMemory(folder.resolve("shop")).start();
          Crier crier = new Crier(broker.port())) {
        shop(arguments[0], broker, crier, browser, stations, unitTime, watched);
      }
      try (Mosquitto broker = Mosquitto.inMemory(folder.resolve("batch")).start();
          Crier crier = new Crier(broker.port())) {
        batches(arguments[0], broker, crier, browser, large);
      }
    } finally {
      try (Stream<Path> files = Files.walk(folder)) {
        for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
          Files.deleteIfExists(file);
        }
      }
    }
  }

  private static void shop(
      String classPath,
      Mosquitto broker,
      Crier crier,
      Browser browser,
      int stations,
      Duration unitTime,
      Duration watched)
      throws Exception {
    try (BoardProgram board = BoardProgram.start(classPath, broker.port())) {
      await(() -> get(board, "/api/overview").path("link").path("up").asBoolean());
      Page page = browser.page(1920, 1080, ColorScheme.LIGHT);
      page.navigate(board.address());
      try (MadeUpShop shop = new MadeUpShop(crier, stations, unitTime)) {
        page.waitForFunction("most => document.querySelectorAll('.step').length >= most", stations);
        page.evaluate(WATCH);
        int stepsBefore = shop.steps();
        Duration processor = board.processorTime();
        long began = System.nanoTime();
        Thread.sleep(watched.toMillis());
        double seconds = (System.nanoTime() - began) / 1e9;
        double share = board.processorTime().minus(processor).toMillis() / 1e3 / seconds;
        int steps = shop.steps() - stepsBefore;
        double[] ages =
            ((List<?>) page.evaluate("window.ages"))
                .stream().mapToDouble(age -> ((Number) age).doubleValue() / 1e3).sorted().toArray();
        shop.endWithTheseUnits();
        await(() -> crier.settled() > 0 && allEnded(board, stations));
        int told = crier.settled() - shop.finished(); // a unit's last verdict is for others
        await(() -> get(board, "/api/overview").path("count").path("messages").asInt() >= told);
        say(
            "board: %d stations, a unit each %d s, watched for %.0f s: %d steps ended, %d seen",
            stations, unitTime.toSeconds(), seconds, steps, ages.length);
        say(
            "board: step's end to pixel: p50 %.2f s, p99 %.2f s, longest %.2f s",
            at(ages, 0.5), at(ages, 0.99), at(ages, 1));
        JsonNode count = get(board, "/api/overview").path("count");
        say(
            "board: %d messages told (%d refused by the broker), %d heard, %d malformed, %d twice;"
                + " lost: %d",
            told,
            crier.refused(),
            count.path("messages").asInt(),
            count.path("malformed").asInt(),
            count.path("repeats").asInt(),
            told - count.path("messages").asInt());
        say(
            "board: %d units finished, %d shown as tested, %d results lacking of the latest 50",
            shop.finished(),
            get(board, "/api/overview").at("/batch/tested").asInt(),
            lacking(board));
        say(
            "board: %.0f MiB of heap in use, %.0f MiB resident at most, %.0f %% of one processor",
            board.liveHeap(), board.resident(), 100 * share);
        shop.failures().forEach(failure -> say("board: the made-up shop failed: %s", failure));
        page.close();
        late(classPath, broker, shop.finished(), stations);
      }
    }
  }

  private static boolean allEnded(BoardProgram board, int stations) throws IOException {
    int idle = 0;
    for (JsonNode station : get(board, "/api/overview").path("stations")) {
      idle += station.path("state").asText().equals("online") ? 1 : 0;
    }
    return idle == stations;
  }

  private static int lacking(BoardProgram board) throws IOException {
    int lacking = 0;
    for (JsonNode unit : get(board, "/api/overview").at("/batch/units")) {
      JsonNode whole =
          get(
              board,
              "/api/unit?shop=shop&product=Linnet+12&unit=" + encoded(unit.path("unit").asText()));
      lacking += MadeUpShop.RESULTS - whole.path("results").size();
    }
    return lacking;
  }

  /** A second board, begun when all has happened. */
  private static void late(String classPath, Mosquitto broker, int units, int stations)
      throws Exception {
    try (BoardProgram board = BoardProgram.start(classPath, broker.port())) {
      double serving = board.seconds();
      await(
          () -> {
            JsonNode overview = get(board, "/api/overview");
            return overview.at("/batch/tested").asInt() == units
                && overview.path("stations").size() == stations;
          });
      say(
          "board: begun late, right about %d units and %d stations %.2f s after it serves"
              + " (%.2f s after its start as a program)",
          units, stations, board.seconds() - serving, board.seconds());
    }
  }

  private static void batches(
      String classPath, Mosquitto broker, Crier crier, Browser browser, int large)
      throws Exception {
    fill(crier, "large", large);
    fill(crier, "small", SMALL_BATCH);
    crier.settled();
    try (BoardProgram board = BoardProgram.start(classPath, broker.port())) {
      double serving = board.seconds();
      await(() -> tested(board, "small") == SMALL_BATCH && tested(board, "large") == large);
      say(
          "board: begun late, right about a batch of %d units %.2f s after it serves",
          large, board.seconds() - serving);
      while (across(board, "large").path("without").asInt(1) > 0) {
        Thread.sleep(1000); // asking is work for the board too
      }
      say("board: all their results are there after %.1f s", board.seconds() - serving);
      for (String batch : List.of("small", "large", "small", "large")) {
        String where = "shop=shop&product=Linnet+12&batch=" + batch;
        say(
            "board: batch of %d: its page %.2f s, a result across it %.2f s (in the browser,"
                + " rows painted); their answers %.0f ms and %.0f ms, %d and %d kB",
            batch.equals("large") ? large : SMALL_BATCH,
            opens(browser, board, "?" + where, "#units tr"),
            opens(browser, board, "result?" + where + "&name=gain+0", "#values tr"),
            millis(board, "/api/overview?" + where),
            millis(board, "/api/result?" + where + "&name=gain+0"),
            ask(board, "/api/overview?" + where).length() / 1000,
            ask(board, "/api/result?" + where + "&name=gain+0").length() / 1000);
      }
      say(
          "board: %.0f MiB of heap in use (of 256), %.0f MiB resident at most",
          board.liveHeap(), board.resident());
    }
  }

  /** Retained messages of so many units: one run is made up, and told under other names. */
  private static void fill(Crier crier, String batch, int units) {
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

  private static int tested(BoardProgram board, String batch) throws IOException {
    return get(board, "/api/overview?shop=shop&product=Linnet+12&batch=" + batch)
        .at("/batch/tested")
        .asInt();
  }

  private static JsonNode across(BoardProgram board, String batch) throws IOException {
    return get(board, "/api/result?shop=shop&product=Linnet+12&name=gain+0&batch=" + batch);
  }

  /** Seconds from the click to the rows on the screen. */
  private static double opens(Browser browser, BoardProgram board, String path, String rows) {
    Page page = browser.page(1280, 900, ColorScheme.LIGHT);
    long began = System.nanoTime();
    page.navigate(board.address() + path);
    page.waitForSelector(rows);
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done)))");
    double seconds = (System.nanoTime() - began) / 1e9;
    page.close();
    return seconds;
  }

  private static double millis(BoardProgram board, String path) throws IOException {
    double[] millis = new double[11];
    for (int i = 0; i < millis.length; i++) {
      long began = System.nanoTime();
      ask(board, path);
      millis[i] = (System.nanoTime() - began) / 1e6;
    }
    Arrays.sort(millis);
    return millis[millis.length / 2];
  }

  private static JsonNode get(BoardProgram board, String path) throws IOException {
    return JSON.readTree(ask(board, path));
  }

  private static String ask(BoardProgram board, String path) throws IOException {
    URI uri = URI.create(board.address()).resolve(path);
    try {
      HttpResponse<String> answer =
          HTTP.send(HttpRequest.newBuilder(uri).build(), HttpResponse.BodyHandlers.ofString());
      return answer.statusCode() == 200 ? answer.body() : "{}";
    } catch (InterruptedException e) {
      throw new IOException(e);
    }
  }

  private static String encoded(String word) {
    return URLEncoder.encode(word, StandardCharsets.UTF_8);
  }

  /** Something that becomes true. */
  private interface Condition {
    boolean holds() throws IOException;
  }

  private static void await(Condition condition) throws IOException, InterruptedException {
    long end = System.nanoTime() + Duration.ofMinutes(10).toNanos();
    while (!condition.holds()) {
      if (System.nanoTime() > end) {
        throw new IOException("the board did not come so far");
      }
      Thread.sleep(20);
    }
  }

  private static double at(double[] sorted, double part) {
    return sorted.length == 0
        ? Double.NaN
        : sorted[(int) Math.min(sorted.length - 1, Math.floor(part * sorted.length))];
  }

  private static void say(String format, Object... values) {
    System.out.printf(Locale.ROOT, format + "%n", values);
  }
}
