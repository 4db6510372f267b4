package kitproof.screen;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.http.BadRequestResponse;
import io.javalin.http.Context;
import io.javalin.http.ForbiddenResponse;
import io.javalin.http.NotFoundResponse;
import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.LongSupplier;
import kitproof.driver.Answer;
import kitproof.operator.Desk;
import kitproof.operator.Typed;
import kitproof.run.StopEffect;
import kitproof.run.StopReach;
import kitproof.value.Problem;
import kitproof.web.Access;
import kitproof.web.Encryption;
import kitproof.web.Files;
import kitproof.web.PageServer;
import kitproof.web.Secret;
import org.jspecify.annotations.Nullable;

/**
 * Serves the operator's screen. What changes something is taken only from the page itself (the
 * guard looks at where it comes from, and here its token), from the bench, and from whoever has the
 * controls; only a stop is taken from everyone who may look.
 */
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
              Files.script("/question.js"),
              Files.script("/verdict.js")));

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String SEAT = "kitproof-seat";
  private static final String TOKEN = "Kitproof-Token";
  private static final String BY_OPERATOR = "stopped by the operator";
  private static final String BY_WATCHER = "stopped at a screen that watches";

  private final Screen screen;
  private final Station station;
  private final Place place;
  private final Control control;
  private final Secret secret = new Secret();
  private @Nullable PageServer server;

  private ScreenServer(Screen screen, Station station, Place place, LongSupplier ticker) {
    this.screen = screen;
    this.station = station;
    this.place = place;
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
    PageServer.Site site =
        new PageServer.Site(
            "screen",
            screen,
            FILES,
            routes -> {
              routes.before("/", made::seat);
              routes.get("/api/state", made::state);
              routes.get("/api/plans", made::plans);
              routes.get("/api/check", made::check);
              routes.post("/api/control", made::control);
              routes.post("/api/start", made::start);
              routes.post("/api/stop", made::stop);
              routes.post("/api/answer", made::answer);
            });
    made.server = PageServer.start(site, access, encryption);
    return made;
  }

  /** A browser gets a name of its own with the page, by which it is known from then on. */
  private void seat(Context request) {
    if (seatOf(request).isEmpty()) {
      request.header(
          "Set-Cookie",
          SEAT
              + "="
              + secret.name()
              + "; Path=/; HttpOnly; SameSite=Strict"
              + (request.req().isSecure() ? "; Secure" : ""));
    }
  }

  private static Optional<String> seatOf(Context request) {
    return Optional.ofNullable(request.cookie(SEAT)).filter(Secret::isName);
  }

  private boolean isHere(Context request) {
    boolean forwarded =
        request.header("Forwarded") != null
            || request.header("X-Forwarded-For") != null
            || request.header("X-Real-IP") != null
            || request.header("Via") != null;
    return place.isHere(request.ip(), forwarded);
  }

  private void state(Context request) {
    String seat = seatOf(request).orElse("");
    boolean here = isHere(request) && !seat.isEmpty();
    control.hear(seat);
    ScreenView.Driving driving =
        new ScreenView.Driving(
            control.isHeldBy(seat),
            control.isHeld(),
            here && control.isFreeFor(seat, screen.running()),
            here);
    send(request, screen.view(seat.isEmpty() ? "" : secret.token(seat), driving));
  }

  private void plans(Context request) {
    send(request, station.plans());
  }

  private void check(Context request) {
    String plan = request.queryParam("plan");
    if (plan == null) {
      throw new BadRequestResponse("which plan?");
    }
    List<Problem> problems =
        station.check(plan).orElseThrow(() -> new NotFoundResponse("there is no such plan"));
    send(request, new Said(false, "", texts(problems), null));
  }

  /**
   * An answer to something said.
   *
   * @param done whether it was taken
   * @param refused why not, in a sentence
   * @param problems what is wrong with the files, a line each
   * @param passed the run in which the unit has passed already
   */
  record Said(boolean done, String refused, List<String> problems, @Nullable String passed) {
    static final Said DONE = new Said(true, "", List.of(), null);

    static Said refused(String why) {
      return new Said(false, why, List.of(), null);
    }
  }

  private static List<String> texts(List<Problem> problems) {
    return problems.stream().map(Problem::toString).toList();
  }

  /** The seat of a page that says something; only the page knows its token. */
  private String speaker(Context request) {
    String seat = seatOf(request).orElse("");
    String token = request.header(TOKEN);
    if (seat.isEmpty() || token == null || !secret.fits(token, seat)) {
      throw new ForbiddenResponse("this page is old: load it again");
    }
    return seat;
  }

  private String driver(Context request) {
    String seat = speaker(request);
    if (!isHere(request)) {
      throw new ForbiddenResponse("a run is started and driven at the bench, by its operator");
    }
    return seat;
  }

  private static <T> T body(Context request, Class<T> type) {
    try {
      T body = JSON.readValue(request.body(), type);
      if (body != null) {
        return body;
      }
    } catch (JsonProcessingException e) {
      throw new BadRequestResponse("that is not what this page says");
    }
    throw new BadRequestResponse("that says nothing");
  }

  /** Whether the controls are taken or given back. */
  record Take(boolean take) {}

  private void control(Context request) {
    String seat = driver(request);
    boolean wanted = body(request, Take.class).take();
    if (!wanted) {
      control.release(seat);
      screen.touched();
      send(request, Said.DONE);
    } else if (control.take(seat, screen.running())) {
      screen.touched();
      send(request, Said.DONE);
    } else {
      send(request, Said.refused("somebody else drives this run"));
    }
  }

  private void start(Context request) {
    String seat = driver(request);
    Order wanted = body(request, Order.class);
    if (!control.take(seat, screen.running())) {
      send(request, Said.refused("somebody else drives this bench"));
      return;
    }
    Station.Started started =
        station.start(
            new Station.Order(
                orEmpty(wanted.plan),
                orEmpty(wanted.unit).strip(),
                orEmpty(wanted.batch).strip(),
                wanted.again));
    send(
        request,
        new Said(started.begun(), started.refused(), texts(started.problems()), started.passed()));
  }

  /** What is to be run, as the page says it. */
  record Order(
      @Nullable String plan, @Nullable String unit, @Nullable String batch, boolean again) {}

  private static String orEmpty(@Nullable String text) {
    return text == null ? "" : text;
  }

  /**
   * A stop.
   *
   * @param watch whether the watch over the discharge is to be ended as well
   */
  record Stop(boolean watch) {}

  private void stop(Context request) {
    String seat = speaker(request);
    boolean watch = body(request, Stop.class).watch();
    if (!screen.running()) {
      send(request, Said.refused("nothing is running"));
      return;
    }
    boolean drives = control.isHeldBy(seat) && isHere(request);
    boolean endsWatch = watch && screen.onlyDischargeLeft();
    if (endsWatch && !drives) {
      send(request, Said.refused("only who drives the run may end the watch over the discharge"));
      return;
    }
    // What the screen knows may lag behind the run, which decides by itself what a stop finds.
    screen.stopping();
    StopEffect effect =
        endsWatch
            ? station.stop(BY_OPERATOR + ", the watch over the discharge too", StopReach.WATCH_TOO)
            : station.stop(drives ? BY_OPERATOR : BY_WATCHER, StopReach.STEPS);
    send(request, said(effect));
  }

  private static Said said(StopEffect effect) {
    return switch (effect) {
      case NOTHING_BEGUN, STEPS_ENDED, WATCH_ENDED -> Said.DONE;
      case WATCH_GOES_ON -> Said.refused("mains is off already; the discharge is being watched");
      case TOO_LATE -> Said.refused("the run is over already");
    };
  }

  /**
   * An answer to a question.
   *
   * @param number the question that is meant
   * @param declined whether it cannot or shall not be done
   * @param text the value, or why it is declined
   */
  record Given(long number, boolean declined, @Nullable String text) {}

  private void answer(Context request) {
    String seat = driver(request);
    Given given = body(request, Given.class);
    if (!control.isHeldBy(seat)) {
      send(request, Said.refused("somebody else drives this run"));
      return;
    }
    Desk desk = screen.desk();
    Optional<Desk.Standing> standing =
        desk.standing().filter(asked -> asked.number() == given.number);
    if (standing.isEmpty()) {
      send(request, Said.refused("the question does not stand any more"));
      return;
    }
    String text = orEmpty(given.text).strip();
    try {
      Answer answer =
          given.declined
              ? new Answer.Declined(printable(text))
              : Typed.answer(standing.get().question(), text);
      Optional<String> refusal = desk.answer(given.number, answer);
      send(request, refusal.map(Said::refused).orElse(Said.DONE));
    } catch (IllegalArgumentException e) {
      send(request, Said.refused(String.valueOf(e.getMessage())));
    }
  }

  /** Words reach terminals and records. */
  private static String printable(String text) {
    return text.replaceAll("\\p{Cntrl}", " ");
  }

  private static void send(Context request, Object view) {
    try {
      request.contentType("application/json").result(JSON.writeValueAsString(view));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("views always become JSON", e);
    }
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
