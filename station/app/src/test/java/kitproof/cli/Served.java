package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.Writer;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.function.Supplier;
import kitproof.driver.BenchClock;
import kitproof.mqtt.Outlook;
import kitproof.operator.Desk;
import kitproof.operator.PersonDriver;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import kitproof.screen.Place;
import kitproof.screen.Screen;
import kitproof.screen.ScreenServer;
import kitproof.web.Access;

/** A simulated Linnet bench with a person before its screen, served as `kitproof serve` does. */
final class Served implements AutoCloseable {
  private final Session session;
  private final ServedStation station;
  private final ScreenServer server;
  private final HandDriver hand;

  /**
   * Serves a folder of plans.
   *
   * @param pace bench seconds per real second
   */
  Served(Path folder, double pace, Access access) throws IOException, InterruptedException {
    this(folder, bench(folder), () -> new PacedClock(Instant.now(), pace), access, pace);
  }

  /** The same at another bench, whose operator is the person with a hand. */
  Served(Path folder, Path benchFile, double pace, Access access)
      throws IOException, InterruptedException {
    this(folder, benchFile, () -> new PacedClock(Instant.now(), pace), access, pace);
  }

  private Served(
      Path folder, Path benchFile, Supplier<BenchClock> clocks, Access access, double pace)
      throws IOException, InterruptedException {
    Desk desk = new Desk();
    PersonDriver person = new PersonDriver(desk);
    Drivers plugins = DriverLoader.load(Path.of("no-such-folder"));
    hand = new HandDriver(person, Objects.requireNonNull(plugins.byId().get("simulated-bench")));
    Drivers drivers = plugins.and(person).and(hand);
    Bench bench = BenchReader.read(benchFile).value();
    Screen screen =
        new Screen(
            new Screen.Facts(bench.shop(), bench.station(), bench.name(), pace),
            desk,
            Instant::now,
            System::nanoTime);
    session =
        Session.open(
            folder.resolve("records"),
            null,
            bench,
            Outlook.UNKNOWN,
            new PrintWriter(new NotesWriter(new PrintWriter(Writer.nullWriter()), screen::note)));
    station =
        new ServedStation(
            new OrderFiles(
                new PlanShelf(List.of(folder)),
                benchFile,
                bench,
                drivers,
                new OrderFiles.Allowed(
                    benchFile.equals(
                        folder.resolve("bench.yaml")), // another one is to be calibrated
                    null,
                    new ReferenceUnitOption()),
                session.store().folder()),
            screen,
            session,
            clocks,
            null,
            "pilot");
    station.makeSafe();
    station.tellLock();
    server =
        ScreenServer.start(screen, station, access, new Place(Set.of()), null, System::nanoTime);
  }

  /** The example bench with a person in the place of the simulated one, and its trimmers set. */
  private static Path bench(Path folder) throws IOException {
    String example = Files.readString(Cli.example("bench-simulated.yaml"));
    int from = example.indexOf("  # A simulated person");
    int to = example.indexOf("  relays:\n    driver: simulated-bench");
    return Files.writeString(
        folder.resolve("bench.yaml"),
        example.substring(0, from).replace("time: simulated", "time: real")
            + "  operator:\n    driver: "
            + HandDriver.ID
            + "\n    kind: operator\n    settings: {bench: linnet-12,"
            + " turns: {left bias trimmer: bias-left, right bias trimmer: bias-right}}\n\n"
            + example.substring(to));
  }

  /**
   * A plan in the folder, judged by the limits beside it. Without interlocks: those of a bench in
   * real time would share the clock, which passes for one at a time.
   */
  static void plan(Path folder, String name, String steps) throws IOException {
    Files.writeString(
        folder.resolve(name + ".yaml"),
        """
        plan: %s
        product: Linnet 12
        revision: B
        serial: 'LN12-[0-9]{3}'
        limits: limits-%s.yaml
        steps:
        %s
        shut-down:
          - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 60 V}
        """
            .formatted(name, name, steps.indent(2).stripTrailing()));
  }

  static void limits(Path folder, String plan, String rows) throws IOException {
    Files.writeString(
        folder.resolve("limits-" + plan + ".yaml"),
        """
        limits: %s
        product: Linnet 12
        revision: B
        rule: simple acceptance
        judge:
        %s
        """
            .formatted(plan, rows.indent(2).stripTrailing()));
  }

  /** Turns the trimmer that is asked for, from now on. */
  void turn() {
    hand.turn();
  }

  /** What stands behind its pages. */
  ServedStation station() {
    return station;
  }

  String address() {
    return server.address();
  }

  int port() {
    return URI.create(server.address()).getPort();
  }

  @Override
  public void close() {
    station.close();
    server.close();
    session.close();
  }
}
