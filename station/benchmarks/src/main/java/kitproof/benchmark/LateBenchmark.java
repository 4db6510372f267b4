package kitproof.benchmark;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.time.Duration;
import java.util.Arrays;
import java.util.Locale;
import kitproof.mqtt.Message;
import kitproof.mqtt.Topics;
import kitproof.peer.Mosquitto;

/** How soon a board is right that begins when much has happened; less than a minute. */
final class LateBenchmark {
  /** How soon it is to be. */
  static final double SOON_SECONDS = 1;

  private static final int UNITS = 400;
  private static final int STATIONS = 200;
  private static final int TIMES = 5;

  /** As often as a page is told of changes; who asks more often keeps the board from its work. */
  private static final int ASKED_MILLIS = 100;

  private LateBenchmark() {}

  /** Measures; whether the median of some boards was soon enough. */
  static boolean run(Mosquitto broker, Crier crier) throws Exception {
    BatchBenchmark.fill(crier, "late", UNITS);
    for (int i = 1; i <= STATIONS; i++) {
      crier.cry("status", status(String.format(Locale.ROOT, "bench-%03d", i)));
    }
    crier.settled();
    double[] took = new double[TIMES];
    double[] begun = new double[TIMES];
    double[] worked = new double[TIMES];
    for (int i = 0; i < TIMES; i++) {
      try (PagesProgram board = PagesProgram.launchedBoard(broker.port())) {
        double serving = board.seconds();
        Duration processor = board.processorTime();
        while (!isRight(board)) {
          Thread.sleep(ASKED_MILLIS);
        }
        took[i] = board.seconds() - serving;
        begun[i] = board.seconds();
        worked[i] = board.processorTime().minus(processor).toMillis() / 1e3;
      }
    }
    Arrays.sort(took);
    Arrays.sort(begun);
    Arrays.sort(worked);
    boolean soon = begun[TIMES / 2] <= SOON_SECONDS;
    BoardBenchmark.say(
        "board: begun late, right about %d units and %d stations %.2f s after it serves (median of"
            + " %d, longest %.2f s), %.2f s of a processor, %.2f s after its start as a program"
            + " (longest %.2f s): %s a second of its start",
        UNITS,
        STATIONS,
        took[TIMES / 2],
        TIMES,
        took[TIMES - 1],
        worked[TIMES / 2],
        begun[TIMES / 2],
        begun[TIMES - 1],
        soon ? "within" : "NOT within");
    return soon;
  }

  private static boolean isRight(PagesProgram board) throws IOException {
    JsonNode overview = BoardAsked.get(board, "/api/overview");
    int ready = 0;
    for (JsonNode station : overview.path("stations")) {
      ready += station.path("state").asText().equals("online") ? 1 : 0;
    }
    return ready == STATIONS && overview.at("/batch/tested").asInt() == UNITS;
  }

  private static Message status(String station) {
    String json =
        String.format(
            Locale.ROOT,
            "{\"schema\":1,\"id\":\"s\",\"shop\":\"shop\",\"station\":\"%s\",\"state\":\"online\"}",
            station);
    return new Message(Topics.status("shop", station), "s", json, true);
  }
}
