package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.BinaryOperator;
import java.util.stream.Collectors;
import kitproof.document.Parsed;
import kitproof.driver.BenchClock;
import kitproof.driver.SimulatedClock;
import kitproof.event.Verdict;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.Outlook;
import kitproof.plugin.Drivers;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** The main job on the simulated bench: a batch of Linnet 12, with faults that real kits have. */
@Command(
    name = "demo",
    mixinStandardHelpOptions = true,
    description =
        "Tests a batch of the fictional Linnet 12 on the simulated bench, with the broker and,"
            + " without --fast, the operator's screen and the dashboard in this program. Some of"
            + " the units have faults; the exit code is 1 then.",
    footer = {
      "",
      "Without --fast it is paced so that a person can follow, opens both pages in the",
      "browser where there is a desktop, and stays until stopped (Ctrl-C).",
      "",
      "Examples:",
      "  kitproof demo",
      "  kitproof demo --fast --units 3 --json"
    })
final class DemoCommand implements Callable<Integer> {
  /** Bench seconds per real second when a person follows. */
  static final double PACE = 12;

  private static final String PLAN = "plan.yaml";
  private static final String BENCH = "bench-simulated.yaml";

  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT).withZone(ZoneOffset.UTC);

  @Spec private CommandSpec spec;

  @Option(
      names = "--units",
      paramLabel = "N",
      defaultValue = "12",
      description = "How many units (default: ${DEFAULT-VALUE}).")
  private int units;

  @Option(names = "--fast", description = "As fast as the processor; ends with the batch.")
  private boolean fast;

  @Mixin private TellingOptions telling = new TellingOptions("records/demo");

  @Mixin private PluginsOption plugins = new PluginsOption();

  @Option(
      names = "--no-browser",
      description = "Only print the addresses of the pages; do not open them in a browser.")
  private boolean quiet;

  @Option(names = "--json", description = "Print the outcome as JSON and nothing else.")
  private boolean json;

  private final CountDownLatch stopped = new CountDownLatch(1);

  @Override
  public Integer call() throws IOException, InterruptedException {
    if (units < 1 || units > 999) {
      throw new ParameterException(
          spec.commandLine(), "--units: found " + units + "; expected 1 to 999");
    }
    BrokerAddress address = telling.broker(spec.commandLine());
    Drivers drivers = plugins.usable();
    Parsed<Prepared> prepared =
        Prepared.read(Home.find().example(PLAN), Home.find().example(BENCH), drivers);
    if (!prepared.isSound()) {
      Printed.problems(spec.commandLine().getErr(), prepared.problems());
      return ExitCodes.BAD_INPUT;
    }
    prepared =
        StationGate.pass(
            prepared.value(), Home.find().example(BENCH), telling.records(), null, Instant.now());
    if (!prepared.isSound()) {
      Printed.problems(spec.commandLine().getErr(), prepared.problems());
      return ExitCodes.BAD_INPUT;
    }
    UnitRun run = new UnitRun(prepared.value(), drivers);
    AtomicReference<@Nullable DemoScreen> onScreen = new AtomicReference<>();
    Signals.handle(
        () -> {
          stopped.countDown();
          DemoScreen now = onScreen.get();
          if (now == null) {
            run.stopAndSay(spec.commandLine().getErr());
          } else {
            now.stop();
          }
        });
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter notes = json ? spec.commandLine().getErr() : out;
    List<UnitRun.Outcome> outcomes = new ArrayList<>();
    Outlook outlook = new Outlook(units, fast ? Outlook.MEASURED : PACE);
    try (Session session =
            Session.open(telling.records(), address, prepared.value().bench(), outlook, notes);
        ShopBoard board = fast ? null : board(session, address, notes);
        DemoScreen screen = fast ? null : screen(prepared.value(), drivers, session, notes)) {
      onScreen.set(screen);
      show(board == null ? null : board.address(), screen == null ? null : screen.address());
      batch(run, prepared.value(), session, screen, outcomes);
      if (json) {
        Printed.json(out, RunCommand.batch(outcomes));
      } else {
        summary(out, outcomes);
      }
      if (!fast && stopped.getCount() > 0) {
        String staying =
            board == null && screen == null ? "This station stays" : "Pages and broker stay";
        notes.println(staying + " until you stop this program (Ctrl-C).");
        notes.flush();
        stopped.await();
      }
    }
    return exitCode(outcomes, units);
  }

  /** Opens the pages for who sits before this machine; their addresses have been printed. */
  private void show(@Nullable String board, @Nullable String screen) {
    if (quiet || json) {
      return;
    }
    DesktopBrowser browser = DesktopBrowser.find();
    for (String address : Arrays.asList(board, screen)) {
      if (address != null) {
        var unused = browser.open(address);
      }
    }
  }

  /** The dashboard of the batch; null, and a note, if it cannot be served. */
  private static @Nullable ShopBoard board(
      Session session, @Nullable BrokerAddress named, PrintWriter notes) throws IOException {
    BrokerAddress broker = named == null ? session.embedded().orElse(null) : named;
    if (broker == null) {
      return null;
    }
    Credentials credentials = named == null ? Credentials.NONE : Credentials.from(System.getenv());
    ShopBoard board = null;
    try {
      board = ShopBoard.open(broker, credentials, BoardCommand.USUAL_PORT);
      notes.println("Board: " + board.address() + " (open it in a browser)");
    } catch (IOException e) {
      notes.println("note: without a board: " + e.getMessage());
    }
    notes.flush();
    return board;
  }

  /** The operator's screen; null, and a note, if it cannot be served. */
  private @Nullable DemoScreen screen(
      Prepared prepared, Drivers drivers, Session session, PrintWriter notes) {
    DemoScreen screen = null;
    try {
      screen =
          new DemoScreen(
              Home.find().example(PLAN),
              Home.find().example(BENCH),
              prepared.bench(),
              drivers,
              plugins.desk(),
              session,
              new PacedClock(Instant.now(), PACE),
              PACE);
      notes.println("Screen: " + screen.address() + " (the operator's, at the bench)");
    } catch (IOException e) {
      notes.println("note: without the operator's screen: " + e.getMessage());
    }
    notes.flush();
    return screen;
  }

  /** The worst of all; units that the operator left out count as aborted. */
  static int exitCode(List<UnitRun.Outcome> outcomes, int units) {
    Verdict atLeast = outcomes.size() < units ? Verdict.ABORTED : Verdict.PASS;
    return outcomes.stream()
        .map(UnitRun.Outcome::verdict)
        .reduce(atLeast, BinaryOperator.maxBy(Verdict::compareTo))
        .exitCode();
  }

  private void batch(
      UnitRun run,
      Prepared prepared,
      Session session,
      @Nullable DemoScreen screen,
      List<UnitRun.Outcome> outcomes)
      throws IOException {
    Terminal shown = json ? null : Terminal.find();
    // A batch of its own each time, or the dashboard would count the units of earlier ones.
    String batch = fast ? "demo" : "demo of " + MINUTE.format(Instant.now()) + " UTC";
    BenchClock clock =
        fast ? new SimulatedClock(Instant.now()) : new PacedClock(Instant.now(), PACE);
    for (int i = 1; i <= units && stopped.getCount() > 0; i++) {
      String serial = String.format(Locale.ROOT, "LN12-%03d", i);
      UnitRun.Outcome outcome =
          screen == null
              ? run.run(session.store(), serial, batch, clock, shown)
              : screen.run(prepared, serial, batch);
      outcomes.add(outcome);
      session.recorded();
      if (shown != null) {
        shown.out().println(RunCommand.verdict(outcome, shown.words()));
        shown.out().println();
      }
      if (screen != null && outcome.verdict() == Verdict.ABORTED) {
        return; // whoever stopped a unit at the screen wants no other to be switched on
      }
    }
  }

  private static void summary(PrintWriter out, List<UnitRun.Outcome> outcomes) {
    long passed = outcomes.stream().filter(o -> o.verdict() == Verdict.PASS).count();
    out.println("batch demo: " + passed + " of " + outcomes.size() + " units passed");
    for (UnitRun.Outcome outcome : outcomes) {
      String line =
          String.format(
              Locale.ROOT, "  %-10s %-8s %s", outcome.serial(), outcome.verdict(), why(outcome));
      out.println(line.stripTrailing());
    }
    out.flush();
  }

  /** The names of what failed, each once, without the conditions. */
  private static String why(UnitRun.Outcome outcome) {
    return outcome.verdict() == Verdict.FAIL
        ? outcome.failed().stream()
            .map(title -> title.replaceFirst(" \\(.*", ""))
            .distinct()
            .collect(Collectors.joining(", "))
        : outcome.reason();
  }
}
