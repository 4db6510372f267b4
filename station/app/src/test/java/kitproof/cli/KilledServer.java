package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Stream;
import kitproof.event.Verdict;
import kitproof.mqtt.Outlook;
import kitproof.peer.PostgreSql;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import kitproof.store.IndexLogin;
import kitproof.store.IndexPlace;
import kitproof.store.PostgresPlace;
import org.awaitility.Awaitility;

/** A PostgreSQL with an index, killed in the middle of a run. */
final class KilledServer {
  static final IndexLogin ME = new IndexLogin(System.getProperty("user.name"), null);

  private static final Drivers DRIVERS = DriverLoader.load(Path.of("no-such-folder"));
  private static final Path BENCH = Cli.example("bench-simulated.yaml");
  private static final Duration PATIENCE = Duration.ofSeconds(60);

  /** Of first power, twenty seconds and the discharge: some four seconds are left. */
  private static final double PACE = 8;

  private KilledServer() {}

  /**
   * A run that passes and lasts seconds, in the first step of which the server is killed.
   *
   * @return what the operator was told
   */
  static String duringARun(PostgreSql server, String address, Path plan, Path records)
      throws IOException, InterruptedException {
    StringWriter told = new StringWriter();
    Prepared prepared = Prepared.read(plan, BENCH, DRIVERS).value();
    IndexPlace place = PostgresPlace.parse(address, ME);
    UnitRun run = new UnitRun(prepared, DRIVERS);
    AtomicBoolean inTheMiddle = new AtomicBoolean();
    try (Session session =
        Session.open(
            records, place, null, prepared.bench(), new Outlook(0, 1), new PrintWriter(told))) {
      Awaitility.await().atMost(PATIENCE).until(() -> hasTables(address)); // the index is there
      Thread vandal = new Thread(() -> inTheMiddle.set(inTheFirstStep(server, records)), "vandal");
      vandal.start();
      UnitRun.Outcome first =
          run.run(session.store(), "LN12-001", "", new PacedClock(Instant.now(), PACE), null);
      assertThat(first.verdict()).as(first.reason()).isEqualTo(Verdict.PASS);
      vandal.join();
      session.recorded();
    }
    assertThat(inTheMiddle).as("killed while the run went on").isTrue();
    return told.toString();
  }

  /** The first column of what is asked, by plain JDBC. */
  static List<String> ask(String address, String sql) throws SQLException {
    List<String> rows = new ArrayList<>();
    try (Connection connection = DriverManager.getConnection("jdbc:" + address, ME.user(), "");
        ResultSet result = connection.createStatement().executeQuery(sql)) {
      while (result.next()) {
        rows.add(result.getString(1));
      }
    }
    return rows;
  }

  /** Whether the index has made its tables. */
  private static boolean hasTables(String address) throws SQLException {
    return !ask(
            address,
            "SELECT table_name FROM information_schema.views WHERE table_schema = 'kitproof'")
        .isEmpty();
  }

  /**
   * Kills it as soon as a run's first step has begun.
   *
   * @return whether the run had not ended by then
   */
  private static boolean inTheFirstStep(PostgreSql server, Path records) {
    try {
      Path journals = records.resolve("journals");
      while (!says(journals, "\"step-started\"")) {
        Thread.sleep(5);
      }
      server.kill();
      return !says(journals, "\"run-ended\"");
    } catch (IOException | InterruptedException e) {
      throw new IllegalStateException(e);
    }
  }

  private static boolean says(Path journals, String words) throws IOException {
    if (!Files.isDirectory(journals)) {
      return false;
    }
    try (Stream<Path> files = Files.list(journals)) {
      for (Path file : files.filter(f -> f.toString().endsWith(".jsonl")).toList()) {
        if (Files.readString(file).contains(words)) {
          return true;
        }
      }
    }
    return false;
  }
}
