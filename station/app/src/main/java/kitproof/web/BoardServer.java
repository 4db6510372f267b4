package kitproof.web;

import java.io.IOException;
import java.time.Duration;
import java.util.Map;
import kitproof.board.Board;
import kitproof.board.Overview;
import org.jspecify.annotations.Nullable;

/** The dashboard's server; it only ever reads the board. */
public final class BoardServer implements AutoCloseable {
  static final Files FILES =
      Files.with(
          Map.ofEntries(
              Files.framed("/", "overview", "Shop board"),
              Files.framed("/unit", "unit", "Unit – Shop board"),
              Files.framed("/result", "result", "Result – Shop board"),
              Files.login("Shop board", "Whoever runs this board knows the token."),
              Files.script("/overview.js"),
              Files.script("/stations.js"),
              Files.script("/pages.js"),
              Files.script("/unit.js"),
              Files.script("/result.js"),
              Files.script("/chart.js"),
              Files.script("/curves.js"),
              Files.script("/values.js"),
              Files.script("/groups.js"),
              Files.script("/scatter.js"),
              Files.script("/trends.js"),
              Files.script("/zoom.js"),
              Files.plotScript(),
              Files.plotStyle()));

  private final PageServer server;

  private BoardServer(PageServer server) {
    this.server = server;
  }

  /** The board as it numbers its changes. */
  private record Shown(Board board) implements Versioned {
    @Override
    public long version() {
      return board.version();
    }

    @Override
    public long await(long seen, Duration most) throws InterruptedException {
      return board.await(seen, most);
    }

    @Override
    public @Nullable Trouble trouble() {
      Overview.Link link = board.link();
      String why = link.trouble();
      return why == null ? null : new Trouble(link.since(), why);
    }
  }

  /**
   * Starts serving what anybody on the way can read.
   *
   * @throws IOException if it cannot listen there
   */
  public static BoardServer start(Board board, Access access) throws IOException {
    return start(board, access, null);
  }

  /**
   * Starts serving.
   *
   * @param encryption null for none
   * @throws IOException if it cannot listen there
   */
  public static BoardServer start(Board board, Access access, @Nullable Encryption encryption)
      throws IOException {
    Answers answers = new Answers(board);
    PageServer.Site site =
        new PageServer.Site(
            "board",
            new Shown(board),
            FILES,
            routes -> {
              routes.get("/api/overview", answers::overview);
              routes.get("/api/unit", answers::unit);
              routes.get("/api/result", answers::result);
            });
    return new BoardServer(PageServer.start(site, access, encryption));
  }

  /** Where to look, for a person. */
  public String address() {
    return server.address();
  }

  @Override
  public void close() {
    server.close();
  }
}
