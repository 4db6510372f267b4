package kitproof.benchmark;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import kitproof.journal.RecordHead;

/**
 * Takes the pictures of the README, with Chromium and of documents on paper, of programs that
 * really run.
 *
 * <p>Arguments: the class path; the folder of the pictures; then the names of the pictures wanted,
 * or none for all. A picture more is a line in {@link #ALL}.
 */
public final class Screenshots {
  /** So many units are finished on the picture of the first page, and another is on the bench. */
  private static final int SHOWN = 6;

  private static final Duration PATIENCE = Duration.ofMinutes(30);

  /** Takes one as PNG. */
  private interface Picture {
    byte[] take(Scene scene, int shown) throws Exception;
  }

  private static final Map<String, Picture> ALL =
      new TreeMap<>(
          Map.of(
              "batch", Screenshots::batch,
              "board", Screenshots::board,
              "certificate", (scene, shown) -> certificate(scene),
              "operator", (scene, shown) -> operator(scene),
              "unit", (scene, shown) -> unit(scene)));

  private Screenshots() {}

  /** The pictures that there are. */
  static SortedSet<String> names() {
    return new TreeSet<>(ALL.keySet());
  }

  public static void main(String[] arguments) throws Exception {
    Set<String> wanted = new TreeSet<>(List.of(arguments).subList(2, arguments.length));
    if (!names().containsAll(wanted)) {
      System.err.println("found " + wanted + "; expected names out of " + names());
      System.exit(2);
    }
    String classPath = arguments[0];
    try (Scene scene =
        new Scene(classPath, (port, records) -> Scene.demo(classPath, port, records))) {
      Set<String> names = wanted.isEmpty() ? names() : wanted;
      take(scene, Path.of(arguments[1]), names, SHOWN).forEach(System.out::println);
    }
  }

  /**
   * Takes pictures.
   *
   * @param shown units that are finished on the picture of the first page
   * @return the files
   */
  static List<Path> take(Scene scene, Path folder, Set<String> names, int shown) throws Exception {
    Files.createDirectories(folder);
    List<Path> taken = new ArrayList<>();
    for (Map.Entry<String, Picture> one : ALL.entrySet()) {
      if (names.contains(one.getKey())) {
        Path file = folder.resolve(one.getKey() + ".png");
        taken.add(Files.write(file, one.getValue().take(scene, shown)));
      }
    }
    return taken;
  }

  /** The first page while a unit is on the bench. */
  private static byte[] board(Scene scene, int shown) throws Exception {
    Page page = scene.ofBoard("/");
    page.setDefaultTimeout((double) PATIENCE.toMillis());
    page.locator("#units tr").nth(shown - 1).waitFor();
    page.waitForFunction("() => document.querySelector('progress')?.value > 0.4");
    return taken(page);
  }

  /** The certificate of a unit that passed. */
  private static byte[] certificate(Scene scene) throws Exception {
    RecordHead unit = PaperPicture.passed(scene.records(), 1, PATIENCE);
    Path out = scene.place("certificate");
    return PaperPicture.written(
        scene.classPath(),
        out,
        List.of(
            "report",
            "--unit",
            unit.unit(),
            "--records",
            scene.records().toString(),
            "--maker",
            maker(),
            "--out",
            out.toString()));
  }

  /** The report of its batch. */
  private static byte[] batch(Scene scene, int shown) throws Exception {
    RecordHead unit = PaperPicture.passed(scene.records(), shown, PATIENCE);
    Path out = scene.place("batch");
    return PaperPicture.written(
        scene.classPath(),
        out,
        List.of(
            "batch",
            unit.batch(),
            "--records",
            scene.records().toString(),
            "--maker",
            maker(),
            "--report",
            out.toString()));
  }

  private static String maker() {
    return Path.of(System.getProperty("kitproof.home"))
        .resolve("station/examples/linnet-12/maker.yaml")
        .toString();
  }

  /**
   * The unit that failed first, whatever the machine's speed, with the cursor on its first curve.
   */
  private static byte[] unit(Scene scene) throws Exception {
    Page page = scene.ofBoard("/");
    page.setDefaultTimeout((double) PATIENCE.toMillis());
    page.locator("#units tr:has(.mark.fail) a").last().click();
    Locator chart = page.locator(".curves").first();
    chart.waitFor();
    chart.locator(".plot").focus();
    for (int i = 0; i < 20; i++) {
      page.keyboard().press("ArrowRight");
    }
    page.evaluate("() => document.activeElement.blur()");
    page.locator("#curves-title") // from here on, so that no row above it is cut in half
        .evaluate("title => scrollTo(0, title.getBoundingClientRect().top + scrollY - 16)");
    return taken(page);
  }

  /** The operator's screen while a trimmer is being set, the reading just inside its window. */
  private static byte[] operator(Scene scene) throws IOException {
    Page page = scene.ofScreen();
    page.setDefaultTimeout((double) PATIENCE.toMillis());
    page.locator("#plan option").first().waitFor(attached());
    page.locator("#batch").fill("pilot");
    page.locator("#serial").fill("LN12-001");
    page.locator("#serial").press("Enter");
    page.locator("#question .where.inside").waitFor();
    return taken(page);
  }

  private static Locator.WaitForOptions attached() {
    return new Locator.WaitForOptions()
        .setState(com.microsoft.playwright.options.WaitForSelectorState.ATTACHED);
  }

  private static byte[] taken(Page page) {
    byte[] taken = page.screenshot();
    page.close();
    return taken;
  }
}
