package kitproof.guide;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.report.Markup;

/**
 * The wiring that a bench file implies, as one page to print: roles, a drawing, groups of routes,
 * relays, what stands at rest as a checklist, the heat that loads stand, and the interlocks of
 * plans and of every bench.
 *
 * <p>The page is whole in itself, has no script, and fits A4 and Letter. It says what the file says
 * and no more: which terminal a lead goes to is known to the file by names only.
 */
public final class BenchGuide {
  private static final List<String> CAUTIONS =
      List.of(
          "A valve amplifier holds several hundred volts, also after switch-off. Work inside the"
              + " amplifier and on the mains side of the bench is for the qualified: follow your"
              + " local codes, have done by a licensed person what they ask to be, and follow the"
              + " manuals of your instruments.",
          "Wire and check with the bench unplugged from the mains and no unit connected, or with a"
              + " unit that is off, discharged, and measured to be so.",
          "The program, its interlocks among it, is not a safety device. The bench needs its own"
              + " emergency stop, isolation, fuses and earth-leakage protection, which work without"
              + " any computer.",
          "With every relay at rest the wiring alone must give the safe state; so must a relay board"
              + " that is unplugged or without supply.",
          "This guide is made of the bench file. It cannot know whether the bench is wired so:"
              + " measure.");

  private BenchGuide() {}

  /**
   * The page, the same for the same files.
   *
   * @param plans whose interlocks are told; none if none was given
   * @param digests file to digest, of every file the page is made of
   */
  public static String html(Bench bench, List<Plan> plans, Map<String, String> digests) {
    return html(bench, plans, digests, List.of());
  }

  /**
   * The same with cautions of this bench.
   *
   * @param more what its drivers say of its instruments, a sentence each
   */
  public static String html(
      Bench bench, List<Plan> plans, Map<String, String> digests, List<String> more) {
    Wiring wiring = Wiring.of(bench);
    String title = "Bench guide: " + bench.name();
    Markup page = new Markup();
    page.begin("html", "lang", "en");
    page.begin("head")
        .lone("meta", "charset", "utf-8")
        .element("title", title)
        .lone("meta", "name", "viewport", "content", "width=device-width")
        .element("style", stylesheet())
        .end();
    page.begin("body").element("h1", title);
    page.element(
        "p",
        "Station " + bench.station() + ", shop " + bench.shop() + ", time " + bench.time() + ".");
    page.begin("ul", "class", "files");
    digests.forEach((file, digest) -> page.element("li", file + ", " + digest));
    page.end();
    page.begin("section", "class", "cautions").element("h2", "Cautions").begin("ul");
    CAUTIONS.forEach(caution -> page.element("li", caution));
    more.forEach(caution -> page.element("li", caution));
    page.end().end();
    new RolePages(page).write(bench);
    new RestPages(page).write(bench, wiring);
    new DrawingPages(page).write(bench, wiring);
    new GroupPages(page).write(bench, wiring);
    new RelayPages(page).write(wiring);
    new LoadPages(page).write(bench, plans);
    plans.forEach(plan -> new InterlockPages(page).write(plan, bench));
    if (plans.isEmpty()) {
      new InterlockPages(page).boards(bench);
    }
    signatures(page);
    return "<!DOCTYPE html>\n" + page.end().end().close() + "\n";
  }

  private static void signatures(Markup page) {
    page.begin("section", "class", "signed").element("h2", "Checked");
    for (String what : List.of("By", "Date", "Meter used, its number", "Remarks")) {
      page.begin("p").words(what + " ").element("span", "", "class", "line").end();
    }
    page.end();
  }

  private static String stylesheet() {
    try (InputStream in = BenchGuide.class.getResourceAsStream("guide.css")) {
      if (in == null) {
        throw new IllegalStateException("the program lacks its file guide.css");
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
