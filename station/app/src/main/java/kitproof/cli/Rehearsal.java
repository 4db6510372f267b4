package kitproof.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.URI;
import java.net.URLConnection;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.mqtt.EmbeddedBroker;
import kitproof.web.Access;

/**
 * Does once what the program usually does, on the simulated bench and in a folder that goes away,
 * so that the Java that runs it can keep what it has loaded: {@code station/bin/kitproof} starts
 * the program from that ever after. Touches no hardware and serves this machine only.
 */
final class Rehearsal {
  /** On a machine so slow, or so broken, a quick start is not worth the waiting. */
  private static final Duration LONGEST = Duration.ofMinutes(5);

  private static final String LOOPBACK = "127.0.0.1";

  private Rehearsal() {}

  /** Ends with 0, also where a part could not be done: the rest is worth keeping. */
  public static void main(String[] arguments) {
    PrintStream errors = System.err;
    System.setOut(new PrintStream(OutputStream.nullOutputStream(), true, StandardCharsets.UTF_8));
    System.setErr(new PrintStream(OutputStream.nullOutputStream(), true, StandardCharsets.UTF_8));
    giveUpInTheEnd();
    try {
      Path folder = Files.createTempDirectory("kitproof-start");
      try {
        rehearse(folder);
      } finally {
        delete(folder);
      }
    } catch (IOException | RuntimeException e) {
      errors.println("kitproof: " + e);
    }
    System.exit(ExitCodes.GOOD);
  }

  private static void giveUpInTheEnd() {
    Thread watch =
        new Thread(
            () -> {
              try {
                Thread.sleep(LONGEST.toMillis());
                Runtime.getRuntime().halt(ExitCodes.STATION_ERROR);
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            },
            "rehearsal-watch");
    watch.setDaemon(true);
    watch.start();
  }

  private static void rehearse(Path folder) throws IOException {
    Home home = Home.find();
    String plan = home.example("gauge-plan.yaml").toString(); // the shortest that there is
    String bench = home.example("bench-simulated.yaml").toString();
    Main.run("--help");
    Main.run("check", home.example("plan.yaml").toString(), bench);
    Main.run("drivers", "--json");
    List<String> records = List.of("--records", folder.resolve("records").toString());
    List<String> unit = List.of("--unit", "LN12-001");
    try (EmbeddedBroker broker = EmbeddedBroker.start(folder.resolve("broker"), 0);
        ShopBoard board = board(broker.address())) {
      List<String> to =
          List.of("--bench", bench, "--json", "--broker", broker.address().toString());
      run(List.of("run", plan, "--batch", "rehearsal"), to, unit, records);
      look(board.address());
    }
    run(List.of("batch", "rehearsal"), records);
    run(List.of("report", "--out", folder.toString()), unit, records);
  }

  @SafeVarargs
  private static void run(List<String>... words) {
    Main.run(Stream.of(words).flatMap(List::stream).toArray(String[]::new));
  }

  private static ShopBoard board(BrokerAddress broker) throws IOException {
    return ShopBoard.open(broker, Credentials.NONE, new Access(LOOPBACK, 0, null), null);
  }

  /** Asks for what a browser asks for first. */
  private static void look(String address) throws IOException {
    for (String page : List.of("", "overview.js", "board.css", "api/overview")) {
      URLConnection line = URI.create(address + page).toURL().openConnection();
      try (InputStream content = line.getInputStream()) {
        content.transferTo(OutputStream.nullOutputStream());
      }
    }
  }

  private static void delete(Path folder) throws IOException {
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
        Files.deleteIfExists(file);
      }
    }
  }
}
