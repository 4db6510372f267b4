package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.concurrent.atomic.AtomicBoolean;
import kitproof.driver.BenchClock;
import kitproof.operator.Desk;
import kitproof.plan.Bench;
import kitproof.plugin.Drivers;
import kitproof.run.StopReach;
import kitproof.screen.Place;
import kitproof.screen.Screen;
import kitproof.screen.ScreenServer;
import kitproof.web.Access;

/** The operator's screen of a batch that goes on by itself; runs may be started from it after. */
final class DemoScreen implements AutoCloseable {
  private static final String LOOPBACK = "127.0.0.1";

  private final Screen screen;
  private final ServedStation station;
  private final ScreenServer server;
  private final AtomicBoolean asked = new AtomicBoolean();

  /**
   * Opens it on the usual port, or on a free one if that is taken.
   *
   * @throws IOException if it cannot be served at all
   */
  DemoScreen(
      Path plan,
      Path benchFile,
      Bench bench,
      Drivers drivers,
      Desk desk,
      Session session,
      BenchClock clock,
      double pace)
      throws IOException {
    screen =
        new Screen(
            new Screen.Facts(bench.shop(), bench.station(), bench.name(), pace),
            desk,
            Instant::now,
            System::nanoTime);
    station =
        new ServedStation(
            new OrderFiles(
                new PlanShelf(List.of(plan)),
                benchFile,
                bench,
                drivers,
                OrderFiles.Allowed.NOTHING,
                session.store().folder()),
            screen,
            session,
            () -> clock,
            Terminal.find(),
            "");
    server = serve();
  }

  private ScreenServer serve() throws IOException {
    try {
      return serve(ServeCommand.USUAL_PORT);
    } catch (IOException e) {
      return serve(0);
    }
  }

  private ScreenServer serve(int port) throws IOException {
    return ScreenServer.start(
        screen,
        station,
        new Access(LOOPBACK, port, null),
        new Place(Set.of()),
        null,
        System::nanoTime);
  }

  /** Where to look. */
  String address() {
    return server.address();
  }

  /** Runs one unit; returns when it has ended. */
  UnitRun.Outcome run(Prepared prepared, String serial, String batch) throws IOException {
    return station.runNow(prepared, serial, batch);
  }

  /** Asks the run to stop; asked again, ends the watch over its discharge too. */
  void stop() {
    screen.stopping();
    StopReach reach = asked.getAndSet(true) ? StopReach.WATCH_TOO : StopReach.STEPS;
    var unused = station.stop("stopped by the operator", reach);
  }

  @Override
  public void close() {
    station.close();
    server.close();
  }
}
