package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.List;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.Test;

/** What the board tells of stations. */
class BoardStationsTest extends BoardScene {
  private StationView.Opening told(String state, String unit, String safeToOpen) {
    Sender sender = new Sender("bench-1");
    sender.status(
        state,
        ",\"opening\":{\"unit\":\"%s\",\"safeToOpen\":\"%s\",\"reason\":\"the HV rail is live\"}"
            .formatted(unit, safeToOpen));
    Board late = new Board(clock(now));
    Sender.deliver(late, sender.retained());
    return late.overview(null, 0).stations().get(0).opening();
  }

  /** As a broker tells a board that begins an hour after a station has gone without a word. */
  @Test
  void aBoardThatBeginsLateKnowsSinceWhenAStationIsOffline() {
    Message will = new Sender("bench-1").status("offline", "").sent().get(0);
    byte[] payload = will.payload().getBytes(StandardCharsets.UTF_8);
    board.message(will.topic(), payload, Duration.ofHours(1));
    assertThat(station().since()).isEqualTo(now[0].minusSeconds(3600).toEpochMilli());
    Board other = new Board(clock(now));
    String at = now[0].minusSeconds(60).toString();
    Sender.deliver(
        other, new Sender("bench-1").status("offline", ",\"time\":\"" + at + "\"").sent());
    assertThat(other.overview(null, 0).stations().get(0).since())
        .as("it went by itself, and said when")
        .isEqualTo(now[0].minusSeconds(60).toEpochMilli());
  }

  /** As a broker tells a board that had lost it for an hour. */
  @Test
  void aStationThatWentWhileTheBoardHadNoBrokerIsOfflineSinceThen() {
    Sender.deliver(board, new Sender("bench-1").status("online", "").sent());
    now[0] = now[0].plusSeconds(3600);
    Message will = new Sender("bench-1").status("offline", "").sent().get(0);
    byte[] payload = will.payload().getBytes(StandardCharsets.UTF_8);
    board.message(will.topic(), payload, Duration.ofSeconds(1800));
    assertThat(station().since()).isEqualTo(now[0].minusSeconds(1800).toEpochMilli());
  }

  @Test
  void aStationWhoseClockIsAheadDoesNotGoInTheFuture() {
    Sender.deliver(board, new Sender("bench-1").status("online", "").sent());
    String at = now[0].plusSeconds(60).toString();
    Sender.deliver(
        board, new Sender("bench-1").status("offline", ",\"time\":\"" + at + "\"").sent());
    assertThat(station().since()).isEqualTo(now[0].toEpochMilli());
  }

  @Test
  void aBoardThatComesLateShowsThatAUnitMustNotBeOpened() {
    for (String safe : List.of("no", "unknown", "yes")) {
      assertThat(told(safe.equals("unknown") ? "offline" : "online", "LN12-7", safe))
          .isEqualTo(new StationView.Opening(safe, "the HV rail is live"));
    }
  }

  @Test
  void aStationInTheMiddleOfARunIsShownFromItsStatusAlone() {
    Sender.deliver(board, new Sender("bench-1").running("LN12-001", 1).sent());
    StationView station = station();
    assertThat(station.state()).isEqualTo("running");
    StationView.Running running = station.running();
    assertThat(running.unit()).isEqualTo("LN12-001");
    assertThat(running.step()).isEqualTo("hum (mode triode)");
    assertThat(running.index()).isEqualTo(1);
    assertThat(running.progress()).isEqualTo(0.25);
    assertThat(running.remaining()).as("45 bench seconds at pace 2").isEqualTo(23);
    assertThat(running.judged())
        .isEqualTo(new StationView.Judged("hum (mode triode)", "pass", "at most 1 mV"));
    UnitView unit = board.unit("attic", "linnet-12", "LN12-001", null).orElseThrow();
    assertThat(unit.verdict()).isNull();
    assertThat(unit.partial()).as("results may have been told before").isTrue();
  }

  @Test
  void ofASimulatedBenchWhosePaceIsNotKnownNoTimeIsMadeUp() {
    Sender sender = new Sender("bench-1").running("LN12-001", 1);
    for (Message message : sender.sent()) {
      board.message(
          message.topic(),
          message
              .payload()
              .replace("\"pace\":2,", "\"simulated\":true,")
              .getBytes(StandardCharsets.UTF_8));
    }
    assertThat(station().simulated()).isTrue();
    assertThat(station().pace()).isZero();
    assertThat(station().running().remaining()).isNull();
    assertThat(station().running().progress()).isEqualTo(0.25);
  }

  @Test
  void aStationThatGoesIsOfflineSinceThenAndKeepsWhatItWasAt() {
    Sender sender = new Sender("bench-1").running("LN12-001", 1);
    Sender.deliver(board, sender.sent());
    now[0] = now[0].plusSeconds(100);
    Sender.deliver(board, new Sender("bench-1").status("offline", "").sent());
    assertThat(station().state()).isEqualTo("offline");
    assertThat(station().since()).isEqualTo(now[0].toEpochMilli());
    assertThat(station().running().unit()).isEqualTo("LN12-001");
    Board late = new Board(clock(now));
    Sender.deliver(late, new Sender("bench-1").status("offline", "").sent());
    assertThat(late.overview(null, 0).stations().get(0).since()).as("not known").isNull();
  }

  @Test
  void whetherAUnitMayBeOpenedIsToldAndNotBelievedOfAStationThatWentAway() {
    Sender.deliver(board, new Sender("bench-1").running("LN12-001", 1).sent());
    assertThat(station().opening())
        .isEqualTo(new StationView.Opening("no", "mains is applied; the HV rail is live"));
    Sender.deliver(board, new Sender("bench-1").status("offline", "").sent());
    assertThat(station().opening().safe()).isEqualTo("unknown");
    Sender.deliver(board, new Sender("bench-1").unit("LN12-001", 1, 5e-4).sent());
    Sender.deliver(board, new Sender("bench-1").status("online", "").sent());
    assertThat(station().opening().safe()).as("the last run's").isEqualTo("yes");
    assertThat(board.unit("attic", "linnet-12", "LN12-001", null).orElseThrow().opening().reason())
        .isEqualTo("HV rail below 30 V five times");
  }
}
