package kitproof.screen;

import io.javalin.http.BadRequestResponse;
import io.javalin.http.Context;
import io.javalin.http.NotFoundResponse;
import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.function.LongSupplier;
import kitproof.value.Problem;
import kitproof.web.Access;
import kitproof.web.Encryption;
import kitproof.web.Files;
import kitproof.web.PageServer;
import org.jspecify.annotations.Nullable;

/** Serves the operator's screen: its files, what it shows, and, by {@link Spoken}, what it says. */
public final class ScreenServer implements AutoCloseable {
  static final Files FILES =
      Files.with(
          Map.ofEntries(
              Files.page("/", "operator.html"),
              Files.login(
                  "Test station",
                  "Whoever runs this station knows the token. A run is started at the bench, by its"
                      + " operator; from elsewhere it can be watched and stopped."),
              Files.style("/operator.css"),
              Files.script("/operator.js"),
              Files.script("/order.js"),
              Files.script("/papers.js"),
              Files.script("/question.js"),
              Files.script("/verdict.js")));

  private final Screen screen;
  private final Station station;
  private final Seats seats;
  private final Control control;
  private @Nullable PageServer server;

  private ScreenServer(Screen screen, Station station, Place place, LongSupplier ticker) {
    this.screen = screen;
    this.station = station;
    this.seats = new Seats(place);
    this.control = new Control(ticker);
  }

  /**
   * Starts serving.
   *
   * @param place from where the bench may be driven
   * @param encryption null for none
   * @param ticker real nanoseconds, never backwards
   * @throws IOException if it cannot listen there
   */
  public static ScreenServer start(
      Screen screen,
      Station station,
      Access access,
      Place place,
      @Nullable Encryption encryption,
      LongSupplier ticker)
      throws IOException {
    ScreenServer made = new ScreenServer(screen, station, place, ticker);
    Spoken spoken = new Spoken(screen, station, made.seats, made.control);
    PageServer.Site site =
        new PageServer.Site(
            "screen",
            screen,
            FILES,
            routes -> {
              routes.before("/", made.seats::give);
              routes.get("/api/state", made::state);
              routes.get("/api/plans", made::plans);
              routes.get("/api/batches", made::batches);
              routes.get("/api/instruments", made::instruments);
              routes.get("/api/check", made::check);
              routes.post("/api/control", spoken::control);
              routes.post("/api/start", spoken::start);
              routes.post("/api/stop", spoken::stop);
              routes.post("/api/answer", spoken::answer);
            });
    made.server = PageServer.start(site, access, encryption);
    return made;
  }

  private void state(Context request) {
    String seat = seats.of(request).orElse("");
    boolean here = seats.isHere(request) && !seat.isEmpty();
    control.hear(seat);
    ScreenView.Driving driving =
        new ScreenView.Driving(
            control.isHeldBy(seat),
            control.isHeld(),
            here && control.isFreeFor(seat, screen.running()),
            here);
    Said.send(request, screen.view(seats.token(seat), driving));
  }

  private void plans(Context request) {
    Said.send(request, station.plans());
  }

  private void batches(Context request) {
    Said.send(request, station.batches());
  }

  private void instruments(Context request) {
    Said.send(request, station.instruments());
  }

  private void check(Context request) {
    String plan = request.queryParam("plan");
    if (plan == null) {
      throw new BadRequestResponse("which plan?");
    }
    List<Problem> problems =
        station.check(plan).orElseThrow(() -> new NotFoundResponse("there is no such plan"));
    Said.send(request, new Said(false, "", Said.texts(problems), null, false));
  }

  /** Where to look, for a person. */
  public String address() {
    PageServer serving = server;
    return serving == null ? "" : serving.address();
  }

  @Override
  public void close() {
    PageServer serving = server;
    if (serving != null) {
      serving.close();
    }
  }
}
