package kitproof.benchmark;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import kitproof.peer.Mosquitto;

/**
 * Takes the pictures of the README: a broker, the dashboard, a batch of the simulated Linnet 12 as
 * fast as it goes, and Chromium to look at it.
 *
 * <p>Arguments: the class path; the folder of the pictures; then the names of the pictures wanted,
 * or none for all. A picture more is a line in {@link #ALL}.
 */
public final class Screenshots {
  private static final int UNITS = 12;

  /** So many are finished on the picture of the first page, and another is on the bench. */
  private static final int SHOWN = 6;

  private static final Duration PATIENCE = Duration.ofMinutes(30);

  /** What is looked at. */
  private record Shop(BoardProgram board, Browser browser) {}

  /** Takes one as PNG. */
  private interface Picture {
    byte[] take(Shop shop);
  }

  private static final Map<String, Picture> ALL =
      new TreeMap<>(Map.of("board", Screenshots::board, "unit", Screenshots::unit));

  private Screenshots() {}

  public static void main(String[] arguments) throws IOException, InterruptedException {
    String classPath = arguments[0];
    Path pictures = Files.createDirectories(Path.of(arguments[1]));
    Set<String> wanted = new TreeSet<>(List.of(arguments).subList(2, arguments.length));
    if (wanted.isEmpty()) {
      wanted.addAll(ALL.keySet());
    }
    if (!ALL.keySet().containsAll(wanted)) {
      System.err.println("found " + wanted + "; expected names out of " + ALL.keySet());
      System.exit(2);
    }
    Path folder = Files.createTempDirectory("kitproof-screenshots");
    try (Mosquitto broker = Mosquitto.inMemory(folder.resolve("broker")).start();
        Browser browser = new Browser();
        BoardProgram board = BoardProgram.start(classPath, broker.port())) {
      Process demo = demo(classPath, folder.resolve("records"), broker.port());
      try {
        Shop shop = new Shop(board, browser);
        for (Map.Entry<String, Picture> one : ALL.entrySet()) {
          if (wanted.contains(one.getKey())) {
            Path file = pictures.resolve(one.getKey() + ".png");
            Files.write(file, one.getValue().take(shop));
            System.out.println(file);
          }
        }
      } finally {
        demo.destroy(); // it makes its bench safe and ends; the pictures need no more of it
        demo.waitFor();
      }
    } finally {
      try (Stream<Path> files = Files.walk(folder)) {
        for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
          Files.deleteIfExists(file);
        }
      }
    }
  }

  private static Process demo(String classPath, Path records, int brokerPort) throws IOException {
    return new ProcessBuilder(
            System.getProperty("java.home") + "/bin/java",
            "-Xmx256m",
            "-XX:+UseSerialGC",
            "-Dkitproof.home=" + System.getProperty("kitproof.home"),
            "-cp",
            classPath,
            "kitproof.cli.Main",
            "demo",
            "--fast",
            "--units",
            String.valueOf(UNITS),
            "--broker",
            "mqtt://127.0.0.1:" + brokerPort,
            "--records",
            records.toString(),
            "--json")
        .redirectError(ProcessBuilder.Redirect.INHERIT)
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .start();
  }

  private static Page open(Shop shop, String path, int width, int height) {
    Page page = shop.browser.page(width, height, ColorScheme.LIGHT);
    page.navigate(shop.board.address().replaceFirst("/$", "") + path);
    return page;
  }

  /** The first page while a unit is on the bench. */
  private static byte[] board(Shop shop) {
    Page page = open(shop, "/", 1280, 1000);
    page.setDefaultTimeout((double) PATIENCE.toMillis());
    page.locator("#units tr").nth(SHOWN - 1).waitFor();
    page.waitForFunction("() => document.querySelector('progress')?.value > 0.4");
    byte[] taken = page.screenshot();
    page.close();
    return taken;
  }

  /** A unit that failed, with the cursor on its first curve. */
  private static byte[] unit(Shop shop) {
    Page page = open(shop, "/", 1280, 1000);
    page.setDefaultTimeout((double) PATIENCE.toMillis());
    page.locator("#units tr:has(.mark.fail) a").first().click();
    Locator chart = page.locator(".curves").first();
    chart.waitFor();
    chart.locator(".plot").focus();
    for (int i = 0; i < 20; i++) {
      page.keyboard().press("ArrowRight");
    }
    page.evaluate("() => document.activeElement.blur()");
    byte[] taken = page.screenshot();
    page.close();
    return taken;
  }
}
