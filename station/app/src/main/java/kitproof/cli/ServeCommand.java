package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import kitproof.document.Parsed;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Outlook;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.TimeKind;
import kitproof.plugin.Drivers;
import kitproof.run.Preflight;
import kitproof.run.StopReach;
import kitproof.screen.Place;
import kitproof.screen.Screen;
import kitproof.screen.ScreenServer;
import kitproof.store.IndexPlace;
import kitproof.value.Problem;
import kitproof.web.Access;
import kitproof.web.Encryption;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** The station with its operator's screen. */
@Command(
    name = "serve",
    mixinStandardHelpOptions = true,
    description =
        "Stays at the bench with a screen for its operator, in a browser: choose a plan, give a"
            + " serial number, start, answer, stop, see the verdict. Stays until stopped (Ctrl-C).",
    footer = {
      "",
      "A browser at the other end of a tunnel to this machine (ssh -L) looks as if it were here:",
      "whoever may log in here may drive the bench, so let in only those who stand at it.",
      "",
      "It listens on this machine only, unless --listen says otherwise; then a token is",
      "needed, in KITPROOF_SERVE_TOKEN or as the first line of the file named by",
      "KITPROOF_SERVE_TOKEN_FILE. Without --certificate and --key the token crosses the",
      "network readable.",
      "",
      "A run is started and driven at the bench, by its operator: from this machine, or",
      "from a device at the bench that --controls names. Everybody else who may look can",
      "watch, and stop.",
      "",
      "Ctrl-C stops a run that goes on, watches its discharge and ends; a second Ctrl-C",
      "ends the watch too. Then treat the unit as live.",
      "",
      "Examples:",
      "  kitproof serve plans --bench bench.yaml",
      "  kitproof serve plan.yaml --bench bench.yaml --batch pilot --batch-size 12 \\",
      "      --broker mqtt://broker.shop.example:1883",
      "  KITPROOF_SERVE_TOKEN_FILE=/etc/kitproof/token kitproof serve plans \\",
      "      --bench bench.yaml --listen 0.0.0.0 --controls 192.0.2.7 \\",
      "      --certificate station.pem --key station-key.pem"
    })
final class ServeCommand implements Callable<Integer> {
  static final int USUAL_PORT = 8418;
  private static final String TOKEN = "KITPROOF_SERVE_TOKEN";

  @Spec private CommandSpec spec;

  @Parameters(
      paramLabel = "PLAN",
      arity = "1..*",
      description = "Plan files, and folders with plans, to choose from.")
  private List<Path> plans = List.of();

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "The bench file.")
  private Path benchFile = Path.of("");

  @Mixin private BatchOptions batch = new BatchOptions();

  @Mixin private TellingOptions telling = new TellingOptions("records");

  @Mixin private IndexOption indexed = new IndexOption();

  @Mixin private ListenOptions listening = new ListenOptions(USUAL_PORT, TOKEN);

  @Mixin private EncryptionOptions encryption = new EncryptionOptions();

  @Option(
      names = "--controls",
      paramLabel = "ADDRESS",
      description = "A device at the bench that may drive it too, such as a tablet; repeatable.")
  private List<String> devices = List.of();

  @Option(
      names = "--uncalibrated",
      description =
          "Run on a bench without a calibration that holds; every figure of the records says so.")
  private boolean uncalibrated;

  @Option(
      names = "--override-lock",
      paramLabel = "WHO: WHY",
      description =
          "Run on a station that its selfcheck has locked; the records, every figure and the"
              + " certificates say who opened it and why.")
  private @Nullable String overriding;

  @Option(
      names = "--pace",
      paramLabel = "N",
      description =
          "Bench seconds per real second, on a simulated bench only (default: "
              + DemoCommand.PACE
              + ").")
  private @Nullable Double pace;

  @Mixin private ReferenceUnitOption reference = new ReferenceUnitOption();

  @Mixin private PluginsOption plugins = new PluginsOption();

  private StationGate.@Nullable Override override;

  private final CountDownLatch stopped = new CountDownLatch(1);

  @Override
  public Integer call() throws IOException, InterruptedException {
    Drivers drivers = plugins.usable();
    // Before anything is refused: a program that was killed may have left the mains on.
    CutShort.makeSafe(telling.records(), benchFile, drivers, spec.commandLine().getErr());
    batch.require(spec.commandLine());
    override = StationGate.Override.of(spec.commandLine(), overriding);
    BrokerAddress address = telling.broker(spec.commandLine());
    IndexPlace index = indexed.place(spec.commandLine(), telling.records());
    Access access = listening.access(spec.commandLine());
    Place place = place();
    Encryption certificate = encryption.read(spec.commandLine());
    Parsed<Bench> bench =
        BenchReader.read(benchFile).checked(read -> Preflight.bench(read, drivers.byId()));
    List<Problem> problems = new ArrayList<>(bench.problems());
    if (!problems.isEmpty()) {
      Printed.problems(spec.commandLine().getErr(), problems);
      return ExitCodes.BAD_INPUT;
    }
    PlanShelf shelf = shelf();
    List<Problem> unasked = reference.unasked(shelf.sound());
    if (!unasked.isEmpty()) {
      Printed.problems(spec.commandLine().getErr(), unasked);
      return ExitCodes.BAD_INPUT;
    }
    double speed = speed(bench.value());
    serve(shelf, bench.value(), drivers, index, address, access, place, certificate, speed);
    return ExitCodes.GOOD;
  }

  private void serve(
      PlanShelf shelf,
      Bench bench,
      Drivers drivers,
      IndexPlace index,
      @Nullable BrokerAddress address,
      Access access,
      Place place,
      @Nullable Encryption certificate,
      double speed)
      throws IOException, InterruptedException {
    Screen screen =
        new Screen(
            new Screen.Facts(bench.shop(), bench.station(), bench.name(), speed),
            plugins.desk(),
            Instant::now,
            System::nanoTime);
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter notes = new PrintWriter(new NotesWriter(out, screen::note), true);
    Outlook outlook = batch.outlook(speed, bench.time() == TimeKind.SIMULATED);
    try (Session session = Session.open(telling.records(), index, address, bench, outlook, notes);
        ServedStation station =
            new ServedStation(
                new OrderFiles(
                    shelf,
                    benchFile,
                    bench,
                    drivers,
                    new OrderFiles.Allowed(uncalibrated, override, reference),
                    session.store().folder()),
                screen,
                session,
                () ->
                    bench.time() == TimeKind.SIMULATED
                        ? new PacedClock(Instant.now(), speed)
                        : new SystemBenchClock(1),
                Terminal.find(),
                batch.name())) {
      Signals.handle(
          () -> {
            if (stopped.getCount() > 0) {
              stopped.countDown();
            } else {
              var unused = station.stop(ServedStation.ENDED, StopReach.WATCH_TOO);
            }
          });
      station.makeSafe();
      station.tellLock();
      try (ScreenServer server =
          ScreenServer.start(screen, station, access, place, certificate, System::nanoTime)) {
        out.println("screen: " + server.address() + " (open it in a browser)");
        out.flush();
        stopped.await();
        station.close(); // while the screen still shows whether the unit may be opened
      }
    }
  }

  private Place place() {
    try {
      return new Place(new LinkedHashSet<>(devices));
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), "--controls: expected " + e.getMessage(), e);
    }
  }

  private PlanShelf shelf() throws IOException {
    for (Path plan : plans) {
      if (!Files.exists(plan)) {
        throw new ParameterException(
            spec.commandLine(),
            "found no \"" + plan + "\"; expected a plan file or a folder with plans");
      }
    }
    PlanShelf shelf = new PlanShelf(plans);
    if (shelf.choices().isEmpty()) {
      throw new ParameterException(
          spec.commandLine(), "found no plan in " + plans + "; expected one or more");
    }
    return shelf;
  }

  private double speed(Bench bench) {
    boolean simulated = bench.time() == TimeKind.SIMULATED;
    Double wanted = pace;
    if (wanted == null) {
      return simulated ? DemoCommand.PACE : 1;
    }
    if (!simulated) {
      throw new ParameterException(
          spec.commandLine(), "--pace: found a real bench; expected one with \"time: simulated\"");
    }
    if (!(wanted >= 0.1 && wanted <= 1000)) {
      throw new ParameterException(
          spec.commandLine(), "--pace: found " + wanted + "; expected 0.1 to 1000");
    }
    return wanted;
  }
}
