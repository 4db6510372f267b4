package kitproof.web;

import io.javalin.http.ContentTooLargeResponse;
import io.javalin.http.Context;
import io.javalin.http.ForbiddenResponse;
import io.javalin.http.HttpStatus;
import io.javalin.http.RequestTimeoutResponse;
import io.javalin.http.ServiceUnavailableResponse;
import io.javalin.http.UnauthorizedResponse;
import java.io.IOException;
import java.io.InputStream;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.util.Set;
import java.util.concurrent.Semaphore;
import org.jspecify.annotations.Nullable;

/** Stands before every request: says to the browser what it may do, and keeps strangers out. */
final class Guard {
  static final String LOGIN = "/login";

  /** What one must be able to load to say the token. */
  private static final Set<String> OPEN = Set.of(LOGIN, "/board.css", "/login.js", "/icon.svg");

  /** What changes nothing. */
  private static final Set<String> READING = Set.of("GET", "HEAD");

  /** Strangers who say the token at the same time; more would take the threads of those inside. */
  private static final int MOST_STRANGERS = 8;

  /** The form with the token, in bytes: a line. */
  private static final int LARGEST_FORM = 4096;

  /** A form of one line comes in one piece or two. */
  private static final int MOST_PIECES = 8;

  private final Semaphore strangers = new Semaphore(MOST_STRANGERS);
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
  void login(Context request) throws IOException {
    if (request.contentLength() > LARGEST_FORM) {
      throw new ContentTooLargeResponse();
    }
    if (!strangers.tryAcquire()) {
      throw new ServiceUnavailableResponse("too many are saying the token; try again");
    }
    String said;
    try {
      said = token(request.req().getInputStream());
    } finally {
      strangers.release();
    }
    if (!access.knows(said)) {
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

  /**
   * The token in a form; null if there is none.
   *
   * <p>Between two pieces the server waits for a while: a form that comes drop by drop, which no
   * browser sends, would hold a thread for hours.
   */
  static @Nullable String token(InputStream body) throws IOException {
    byte[] form = new byte[LARGEST_FORM + 1];
    int size = 0;
    int pieces = 0;
    for (int read = body.read(form, 0, form.length);
        read >= 0;
        read = body.read(form, size, form.length - size)) {
      size += read;
      pieces++;
      if (size == form.length) {
        throw new ContentTooLargeResponse();
      }
      if (pieces > MOST_PIECES) {
        throw new RequestTimeoutResponse("the form comes too slowly");
      }
    }
    for (String field : new String(form, 0, size, StandardCharsets.UTF_8).split("&", -1)) {
      if (field.startsWith("token=")) {
        return decoded(field.substring("token=".length()));
      }
    }
    return null;
  }

  private static @Nullable String decoded(String value) {
    try {
      return URLDecoder.decode(value, StandardCharsets.UTF_8);
    } catch (IllegalArgumentException e) {
      return null;
    }
  }

  static boolean fromHere(@Nullable String origin, @Nullable String host) {
    return origin != null
        && host != null
        && (origin.equals("http://" + host) || origin.equals("https://" + host));
  }
}
