package kitproof.benchmark;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.Deque;
import java.util.List;
import java.util.stream.Stream;
import kitproof.peer.Mosquitto;
import org.jspecify.annotations.Nullable;

/**
 * What pictures are taken of, each part begun when it is first looked at: a shop with a broker, a
 * dashboard and a batch of the simulated Linnet 12 as fast as it goes; a bench with the operator's
 * screen. All of it ends when this is closed.
 */
final class Scene implements AutoCloseable {
  static final int WIDTH = 1280;
  static final int HEIGHT = 1000;
  private static final int UNITS = 12;

  /** Bench seconds per second: slow enough to be met in the middle of an adjustment. */
  private static final int PACE = 4;

  private static final String PLAN =
      """
      plan: bias
      product: Linnet 12
      revision: B
      serial: 'LN12-[0-9]{3}'
      limits: limits-bias.yaml
      steps:
        - step: first power
          procedure: supply-rise
          conditions: {lamps: 2}
          meter: hv-meter
          function: hv
          watch: 15 s
          on-fail: stop
        - step: HV rail
          procedure: reading
          mains: direct
          wait: 20 s
          meter: hv-meter
          function: hv
          result: hv
        - step: HV rail by eye
          procedure: entry
          say: Read the panel meter on the HV rail
          result: hv on the panel meter
          plausible: 0 V..600 V
        - step: set bias, left
          procedure: adjust
          conditions: {point: cathode V3}
          say: Turn the left bias trimmer until the reading stays inside
          caution: HV is on. Insulated trimming tool, through the hole in the cover, one hand.
          control: left bias trimmer
          meter: probe-meter
          function: dc-voltage
          result: bias as set
          window: 8.6 V..9.0 V
          dwell: 30 s
      shut-down:
        - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 60 V}
      """;

  private static final String LIMITS =
      """
      limits: bias
      product: Linnet 12
      revision: B
      rule: simple acceptance
      judge:
        - result: supply rise
          mask: [{at: 0 s, high: 420 V}, {at: 2 s, low: 30 V, high: 420 V}, {at: 15 s, low: 150 V, high: 420 V}]
        - {result: hv, low: 318 V, high: 348 V}
        - {result: hv on the panel meter, low: 310 V, high: 355 V}
        - {result: bias as set, low: 8.6 V, high: 9 V}
      """;

  private final String classPath;
  private final Batch batch;
  private final Path folder = Files.createTempDirectory("kitproof-screenshots");
  private final Browser browser = new Browser();
  private final Deque<AutoCloseable> open = new ArrayDeque<>();
  private @Nullable PagesProgram board;
  private @Nullable PagesProgram screen;

  /** What stations tell the broker of a shop. */
  interface Batch {
    /**
     * Begins.
     *
     * @param folder for what it keeps
     * @return to end it
     */
    AutoCloseable begin(int brokerPort, Path folder) throws Exception;
  }

  Scene(String classPath, Batch batch) throws IOException {
    this.classPath = classPath;
    this.batch = batch;
  }

  private PagesProgram board() throws Exception {
    PagesProgram known = board;
    if (known != null) {
      return known;
    }
    Mosquitto broker = Mosquitto.inMemory(folder.resolve("broker")).start();
    open.push(broker);
    PagesProgram program = PagesProgram.board(classPath, broker.port());
    open.push(program);
    open.push(batch.begin(broker.port(), folder.resolve("records")));
    board = program;
    return program;
  }

  /** That of the demo, as fast as it goes; it makes its bench safe when it is ended. */
  static AutoCloseable demo(String classPath, int brokerPort, Path records) throws IOException {
    Process demo =
        new ProcessBuilder(
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
    return () -> {
      demo.destroy();
      demo.waitFor();
    };
  }

  /** The records of the station that is at work in the shop. */
  Path records() throws Exception {
    var unused = board();
    return folder.resolve("records");
  }

  /** A folder for what a picture is made of. */
  Path place(String name) {
    return folder.resolve(name);
  }

  String classPath() {
    return classPath;
  }

  private PagesProgram screen() throws IOException {
    PagesProgram known = screen;
    if (known != null) {
      return known;
    }
    Path plan = Files.writeString(folder.resolve("bias.yaml"), PLAN);
    Files.writeString(folder.resolve("limits-bias.yaml"), LIMITS);
    Path bench =
        Path.of(System.getProperty("kitproof.home"))
            .resolve("station/examples/linnet-12/bench-simulated.yaml");
    PagesProgram program =
        PagesProgram.screen(
            classPath,
            List.of(
                plan.toString(),
                "--bench",
                bench.toString(),
                "--pace",
                String.valueOf(PACE),
                "--records",
                folder.resolve("bench").toString()));
    open.push(program);
    screen = program;
    return program;
  }

  /** A page of the dashboard. */
  Page ofBoard(String path) throws Exception {
    return page(board(), path);
  }

  /** The operator's screen. */
  Page ofScreen() throws IOException {
    return page(screen(), "/");
  }

  private Page page(PagesProgram program, String path) {
    Page page = browser.page(WIDTH, HEIGHT, ColorScheme.LIGHT);
    page.navigate(program.address().replaceFirst("/$", "") + path);
    return page;
  }

  @Override
  public void close() throws Exception {
    browser.close();
    while (!open.isEmpty()) {
      open.pop().close();
    }
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
        Files.deleteIfExists(file);
      }
    }
  }
}
