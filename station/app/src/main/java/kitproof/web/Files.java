package kitproof.web;

import io.javalin.http.Context;
import io.javalin.http.NotFoundResponse;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** The pages' own files: only those named here, each from inside the program. */
final class Files {
  private static final String OURS = "/kitproof/web/";
  private static final String UPLOT = "/META-INF/resources/webjars/uplot/1.6.30/dist/";
  private static final String HTML = "text/html; charset=utf-8";
  private static final String SCRIPT = "text/javascript; charset=utf-8";
  private static final String STYLE = "text/css; charset=utf-8";

  /** The head, header and foot that the pages share. */
  private static final String FRAME = OURS + "frame.html";

  /**
   * Where a file is, and what it is.
   *
   * @param title of a page that stands in the frame; empty for a file as it is
   */
  private record File(String resource, String type, String title) {
    File(String resource, String type) {
      this(resource, type, "");
    }

    static File page(String name, String title) {
      return new File(OURS + name + ".html", HTML, title);
    }
  }

  static final Map<String, File> ALL =
      Map.ofEntries(
          Map.entry("/", File.page("overview", "Shop board")),
          Map.entry("/unit", File.page("unit", "Unit – Shop board")),
          Map.entry("/result", File.page("result", "Result – Shop board")),
          Map.entry(Guard.LOGIN, new File(OURS + "login.html", HTML)),
          Map.entry("/board.css", new File(OURS + "board.css", STYLE)),
          Map.entry("/icon.svg", new File(OURS + "icon.svg", "image/svg+xml")),
          Map.entry("/dom.js", new File(OURS + "dom.js", SCRIPT)),
          Map.entry("/live.js", new File(OURS + "live.js", SCRIPT)),
          Map.entry("/login.js", new File(OURS + "login.js", SCRIPT)),
          Map.entry("/overview.js", new File(OURS + "overview.js", SCRIPT)),
          Map.entry("/stations.js", new File(OURS + "stations.js", SCRIPT)),
          Map.entry("/pages.js", new File(OURS + "pages.js", SCRIPT)),
          Map.entry("/unit.js", new File(OURS + "unit.js", SCRIPT)),
          Map.entry("/result.js", new File(OURS + "result.js", SCRIPT)),
          Map.entry("/curves.js", new File(OURS + "curves.js", SCRIPT)),
          Map.entry("/values.js", new File(OURS + "values.js", SCRIPT)),
          Map.entry("/lib/uplot.js", new File(UPLOT + "uPlot.esm.js", SCRIPT)),
          Map.entry("/lib/uplot.css", new File(UPLOT + "uPlot.min.css", STYLE)));

  private Files() {}

  static void send(Context request) {
    @Nullable File file = ALL.get(request.path());
    if (file == null) {
      throw new NotFoundResponse("no such page");
    }
    byte[] content = read(file.resource);
    request.contentType(file.type).result(file.title.isEmpty() ? content : framed(file, content));
  }

  private static byte[] framed(File page, byte[] main) {
    String name = page.resource.substring(OURS.length() - 1);
    return new String(read(FRAME), StandardCharsets.UTF_8)
        .replace("${title}", page.title)
        .replace("${script}", name.replace(".html", ".js"))
        .replace("${main}", new String(main, StandardCharsets.UTF_8))
        .getBytes(StandardCharsets.UTF_8);
  }

  private static byte[] read(String resource) {
    try (InputStream stream = Files.class.getResourceAsStream(resource)) {
      if (stream == null) {
        throw new IllegalStateException("the program lacks its file " + resource);
      }
      return stream.readAllBytes();
    } catch (IOException e) {
      throw new IllegalStateException("the program's file cannot be read: " + resource, e);
    }
  }
}
