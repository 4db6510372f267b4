package kitproof.screen;

import io.javalin.http.Context;
import io.javalin.http.ForbiddenResponse;
import java.util.Optional;
import kitproof.web.Secret;

/** Who a request comes from: a browser by its name, a page by its token, and from where. */
final class Seats {
  private static final String SEAT = "kitproof-seat";
  private static final String TOKEN = "Kitproof-Token";

  private final Secret secret = new Secret();
  private final Place place;

  Seats(Place place) {
    this.place = place;
  }

  /** A browser gets a name of its own with the page, by which it is known from then on. */
  void give(Context request) {
    if (of(request).isEmpty()) {
      request.header(
          "Set-Cookie",
          SEAT
              + "="
              + secret.name()
              + "; Path=/; HttpOnly; SameSite=Strict"
              + (request.req().isSecure() ? "; Secure" : ""));
    }
  }

  /** The browser's name; empty if it has none. */
  Optional<String> of(Context request) {
    return Optional.ofNullable(request.cookie(SEAT)).filter(Secret::isName);
  }

  /** What a page of this browser says with everything that changes something. */
  String token(String seat) {
    return seat.isEmpty() ? "" : secret.token(seat);
  }

  /** Whether a request comes from the bench. */
  boolean isHere(Context request) {
    boolean forwarded =
        request.header("Forwarded") != null
            || request.header("X-Forwarded-For") != null
            || request.header("X-Real-IP") != null
            || request.header("Via") != null;
    return place.isHere(request.ip(), forwarded);
  }

  /** The seat of a page that says something; only the page knows its token. */
  String speaker(Context request) {
    String seat = of(request).orElse("");
    String token = request.header(TOKEN);
    if (seat.isEmpty() || token == null || !secret.fits(token, seat)) {
      throw new ForbiddenResponse("this page is old: load it again");
    }
    return seat;
  }

  /** The same for what is said only at the bench. */
  String driver(Context request) {
    String seat = speaker(request);
    if (!isHere(request)) {
      throw new ForbiddenResponse("a run is started and driven at the bench, by its operator");
    }
    return seat;
  }
}
