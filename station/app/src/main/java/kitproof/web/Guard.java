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
  private static final String COOKIE = "kitproof-board";

  /** What one must be able to load to say the token. */
  private static final Set<String> OPEN = Set.of(LOGIN, "/board.css", "/login.js", "/icon.svg");

  private final Access access;

  Guard(Access access) {
    this.access = access;
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
    if (OPEN.contains(request.path()) || access.admits(request.cookie(COOKIE))) {
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
    if (!fromHere(request.header("Origin"), request.header("Host"))) {
      throw new ForbiddenResponse("the form of another site");
    }
    if (!access.knows(request.formParam("token"))) {
      request.redirect(LOGIN + "?wrong", HttpStatus.SEE_OTHER);
      return;
    }
    request.header(
        "Set-Cookie",
        COOKIE
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
