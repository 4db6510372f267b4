package kitproof.web;

import io.javalin.http.Context;
import io.javalin.http.ForbiddenResponse;
import io.javalin.http.HttpStatus;
import io.javalin.http.UnauthorizedResponse;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** Stands before every request: says to the browser what it may do, and keeps strangers out. */
final class Guard {
  static final String LOGIN = "/login";

  /** What one must be able to load to say the token. */
  private static final Set<String> OPEN = Set.of(LOGIN, "/board.css", "/login.js", "/icon.svg");

  /** What changes nothing. */
  private static final Set<String> READING = Set.of("GET", "HEAD");

  private final Access access;
  private final String cookie;

  /**
   * For a site.
   *
   * @param site its name: cookies know no ports, so two sites of one machine need two
   */
  Guard(Access access, String site) {
    this.access = access;
    this.cookie = "kitproof-" + site;
  }

  void before(Context request) {
    request.header(
        "Content-Security-Policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self';"
            + " connect-src 'self'; form-action 'self'; base-uri 'none';"
            + " frame-ancestors 'none'");
    request.header("X-Content-Type-Options", "nosniff");
    request.header("X-Frame-Options", "DENY");
    request.header("Referrer-Policy", "same-origin");
    request.header("Cross-Origin-Opener-Policy", "same-origin");
    request.header("Cross-Origin-Resource-Policy", "same-origin");
    request.header("Cache-Control", "no-store");
    if (!access.meantForUs(request.header("Host"))) {
      throw new ForbiddenResponse("not the name of this machine");
    }
    if (!READING.contains(request.method().name())
        && !fromHere(request.header("Origin"), request.header("Host"))) {
      throw new ForbiddenResponse("the form of another site");
    }
    if (OPEN.contains(request.path()) || access.admits(request.cookie(cookie))) {
      return;
    }
    if (request.path().startsWith("/api/") || request.path().equals("/events")) {
      throw new UnauthorizedResponse("the token, please: open the first page");
    }
    request.redirect(LOGIN, HttpStatus.SEE_OTHER);
    request.skipRemainingHandlers();
  }

  /** Takes the token from the form, and sends the browser on. */
  void login(Context request) {
    if (!access.knows(request.formParam("token"))) {
      request.redirect(LOGIN + "?wrong", HttpStatus.SEE_OTHER);
      return;
    }
    request.header(
        "Set-Cookie",
        cookie
            + "="
            + access.cookie()
            + "; Path=/; HttpOnly; SameSite=Strict"
            + (request.req().isSecure() ? "; Secure" : ""));
    request.redirect("/", HttpStatus.SEE_OTHER);
  }

  static boolean fromHere(@Nullable String origin, @Nullable String host) {
    return origin != null
        && host != null
        && (origin.equals("http://" + host) || origin.equals("https://" + host));
  }
}
