package kitproof.web;

import io.javalin.http.Context;
import io.javalin.http.NotFoundResponse;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** A site's own files: only those named here, each from inside the program. */
public final class Files {
  private static final String OURS = "/kitproof/web/";
  private static final String UPLOT = "/META-INF/resources/webjars/uplot/1.6.30/dist/";
  private static final String HTML = "text/html; charset=utf-8";
  private static final String SCRIPT = "text/javascript; charset=utf-8";
  private static final String STYLE = "text/css; charset=utf-8";

  /** The head, header and foot that the dashboard's pages share. */
  private static final String FRAME = OURS + "frame.html";

  /**
   * A file.
   *
   * @param resource where it is
   * @param type what it is
   * @param words what stands in it for each name in braces; empty for a file as it is
   */
  public record File(String resource, String type, Map<String, String> words) {
    public File {
      words = Map.copyOf(words);
    }

    File(String resource, String type) {
      this(resource, type, Map.of());
    }
  }

  /** What every site has. */
  private static final Map<String, File> COMMON =
      Map.of(
          "/board.css", new File(OURS + "board.css", STYLE),
          "/icon.svg", new File(OURS + "icon.svg", "image/svg+xml"),
          "/dom.js", new File(OURS + "dom.js", SCRIPT),
          "/live.js", new File(OURS + "live.js", SCRIPT),
          "/login.js", new File(OURS + "login.js", SCRIPT));

  private final Map<String, File> all;

  private Files(Map<String, File> all) {
    this.all = Map.copyOf(all);
  }

  /** These, by path, and what every site has. */
  public static Files with(Map<String, File> own) {
    Map<String, File> all = new HashMap<>(COMMON);
    all.putAll(own);
    return new Files(all);
  }

  /** A page under a path. */
  public static Map.Entry<String, File> page(String path, String name) {
    return Map.entry(path, new File(OURS + name, HTML));
  }

  /** A page of the dashboard: what it shows is in NAME.html, what it does in NAME.js. */
  static Map.Entry<String, File> framed(String path, String name, String title) {
    String main = new String(read(OURS + name + ".html"), StandardCharsets.UTF_8);
    Map<String, String> words = Map.of("title", title, "script", "/" + name + ".js", "main", main);
    return Map.entry(path, new File(FRAME, HTML, words));
  }

  /**
   * The page on which one says the token.
   *
   * @param site what is behind it
   * @param note for whoever does not know the token
   */
  public static Map.Entry<String, File> login(String site, String note) {
    return Map.entry(
        Guard.LOGIN, new File(OURS + "login.html", HTML, Map.of("site", site, "note", note)));
  }

  /** A script under its own name. */
  public static Map.Entry<String, File> script(String path) {
    return Map.entry(path, new File(OURS + path.substring(1), SCRIPT));
  }

  /** A style sheet under its own name. */
  public static Map.Entry<String, File> style(String path) {
    return Map.entry(path, new File(OURS + path.substring(1), STYLE));
  }

  static Map.Entry<String, File> plotScript() {
    return Map.entry("/lib/uplot.js", new File(UPLOT + "uPlot.esm.js", SCRIPT));
  }

  static Map.Entry<String, File> plotStyle() {
    return Map.entry("/lib/uplot.css", new File(UPLOT + "uPlot.min.css", STYLE));
  }

  /** Every path. */
  public Set<String> paths() {
    return all.keySet();
  }

  void send(Context request) {
    @Nullable File file = all.get(request.path());
    if (file == null) {
      throw new NotFoundResponse("no such page");
    }
    byte[] content = read(file.resource);
    request.contentType(file.type).result(file.words.isEmpty() ? content : filled(file, content));
  }

  private static byte[] filled(File file, byte[] content) {
    String text = new String(content, StandardCharsets.UTF_8);
    for (Map.Entry<String, String> word : file.words.entrySet()) {
      text = text.replace("${" + word.getKey() + "}", word.getValue());
    }
    return text.getBytes(StandardCharsets.UTF_8);
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
