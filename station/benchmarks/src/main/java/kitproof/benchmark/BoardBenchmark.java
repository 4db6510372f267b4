package kitproof.benchmark;

import com.fasterxml.jackson.databind.JsonNode;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import kitproof.peer.Mosquitto;

/**
 * The dashboard of a large shop: Mosquitto, the board as a program of its own, and its first page
 * in Chromium, all on this machine.
 *
 * <p>Arguments: stations; seconds for a unit; minutes to watch; units of the large batch. Or
 * "late": only how soon a board is right that begins late; the exit code is 1 if it is not soon
 * enough. Without "late" it is 1 if a message or a result was lost, or if a page of the large batch
 * takes much longer to open than one of a small one.
 */
public final class BoardBenchmark {
  /** After so long without a word nothing more is on its way. */
  private static final Duration QUIET = Duration.ofSeconds(30);

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
    if (arguments[0].equals("late")) {
      System.exit(late() ? 0 : 1);
    }
    int stations = Integer.parseInt(arguments[0]);
    Duration unitTime = Duration.ofSeconds(Integer.parseInt(arguments[1]));
    Duration watched = Duration.ofMinutes(Integer.parseInt(arguments[2]));
    int large = Integer.parseInt(arguments[3]);
    Path folder = Files.createTempDirectory("kitproof-benchmark");
    boolean whole;
    try (Browser browser = new Browser()) {
      try (Mosquitto broker = Mosquitto.inMemory(folder.resolve("shop")).start();
          Crier crier = new Crier(broker.port())) {
        whole = shop(broker, crier, browser, stations, unitTime, watched);
      }
      try (Mosquitto broker = Mosquitto.inMemory(folder.resolve("batch")).start();
          Crier crier = new Crier(broker.port())) {
        whole &= BatchBenchmark.run(broker, crier, browser, large);
      }
    } finally {
      delete(folder);
    }
    System.exit(whole ? 0 : 1);
  }

  private static boolean late() throws Exception {
    Path folder = Files.createTempDirectory("kitproof-benchmark");
    try (Mosquitto broker = Mosquitto.inMemory(folder).start();
        Crier crier = new Crier(broker.port())) {
      return LateBenchmark.run(broker, crier);
    } finally {
      delete(folder);
    }
  }

  private static void delete(Path folder) throws IOException {
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
        Files.deleteIfExists(file);
      }
    }
  }

  /** Whether the board has heard all that it was told, and shows every result. */
  private static boolean shop(
      Mosquitto broker,
      Crier crier,
      Browser browser,
      int stations,
      Duration unitTime,
      Duration watched)
      throws Exception {
    try (PagesProgram board = PagesProgram.launchedBoard(broker.port())) {
      BoardAsked.await(
          () -> BoardAsked.get(board, "/api/overview").path("link").path("up").asBoolean());
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
        if (!BoardAsked.comes(
            unitTime.plus(QUIET.multipliedBy(2)),
            () -> crier.settled() > 0 && allEnded(board, stations))) {
          say("board: it has not heard that every station has ended its unit");
        }
        int told = crier.settled() - shop.finished(); // a unit's last verdict is for others
        // What is lost does not come however long one waits.
        var unused =
            BoardAsked.comes(
                QUIET, () -> heard(BoardAsked.get(board, "/api/overview").path("count")) >= told);
        say(
            "board: %d stations, a unit each %d s, watched for %.0f s: %d steps ended, %d seen",
            stations, unitTime.toSeconds(), seconds, steps, ages.length);
        say(
            "board: step's end to pixel: p50 %.2f s, p99 %.2f s, longest %.2f s",
            at(ages, 0.5), at(ages, 0.99), at(ages, 1));
        JsonNode count = BoardAsked.get(board, "/api/overview").path("count");
        int lost = told - heard(count);
        int lacking = lacking(board);
        say(
            "board: %d messages told (%d refused by the broker), %d heard, %d malformed, %d twice;"
                + " lost: %d",
            told,
            crier.refused(),
            count.path("messages").asInt(),
            count.path("malformed").asInt(),
            count.path("repeats").asInt(),
            lost);
        say(
            "board: %d units finished, %d shown as tested, %d results lacking of the latest 50",
            shop.finished(),
            BoardAsked.get(board, "/api/overview").at("/batch/tested").asInt(),
            lacking);
        say(
            "board: %.0f MiB of heap in use, %.0f MiB resident at most, %.0f %% of one processor",
            board.liveHeap(), board.resident(), 100 * share);
        shop.failures().forEach(failure -> say("board: the made-up shop failed: %s", failure));
        page.close();
        late(broker, BoardAsked.get(board, "/api/overview"));
        return lost <= 0 && lacking == 0 && count.path("malformed").asInt() == 0;
      }
    }
  }

  /** What came twice hides nothing that was lost. */
  private static int heard(JsonNode count) {
    return count.path("messages").asInt() - count.path("repeats").asInt();
  }

  private static boolean allEnded(PagesProgram board, int stations) throws IOException {
    int idle = 0;
    for (JsonNode station : BoardAsked.get(board, "/api/overview").path("stations")) {
      idle += station.path("state").asText().equals("online") ? 1 : 0;
    }
    return idle == stations;
  }

  private static int lacking(PagesProgram board) throws IOException {
    int lacking = 0;
    for (JsonNode unit : BoardAsked.get(board, "/api/overview").at("/batch/units")) {
      JsonNode whole =
          BoardAsked.get(
              board,
              "/api/unit?shop=shop&product=Linnet+12&unit="
                  + BoardAsked.encoded(unit.path("unit").asText()));
      lacking += MadeUpShop.RESULTS - whole.path("results").size();
    }
    return lacking;
  }

  /** A second board, begun when all has happened: when it says the same as the first. */
  private static void late(Mosquitto broker, JsonNode first) throws Exception {
    try (PagesProgram board = PagesProgram.launchedBoard(broker.port())) {
      double serving = board.seconds();
      BoardAsked.await(() -> said(BoardAsked.get(board, "/api/overview")).equals(said(first)));
      double took = board.seconds() - serving;
      say(
          "board: begun late, it says of %d units and %d stations what the first one says %.2f s"
              + " after it serves (%.2f s after its start as a program): %s a second of serving",
          first.at("/batch/tested").asInt(),
          first.path("stations").size(),
          took,
          board.seconds(),
          took <= LateBenchmark.SOON_SECONDS ? "within" : "NOT within");
    }
  }

  /** Figures, units, failures and states, without what depends on when one has begun to listen. */
  private static List<Object> said(JsonNode overview) {
    List<Object> said = new ArrayList<>();
    JsonNode batch = overview.path("batch");
    for (String part :
        List.of("tested", "firstPassed", "passed", "finished", "units", "failures")) {
      said.add(batch.path(part));
    }
    for (JsonNode station : overview.path("stations")) {
      said.add(station.path("station"));
      said.add(station.path("state"));
      said.add(station.path("latest"));
    }
    return said;
  }

  private static double at(double[] sorted, double part) {
    return sorted.length == 0
        ? Double.NaN
        : sorted[(int) Math.min(sorted.length - 1, Math.floor(part * sorted.length))];
  }

  static void say(String format, Object... values) {
    System.out.printf(Locale.ROOT, format + "%n", values);
  }
}
