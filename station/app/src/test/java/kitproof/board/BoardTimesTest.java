package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.Test;

/** When a batch will be done, and when it is late. */
class BoardTimesTest extends BoardScene {
  @Test
  void unitsPerHourAndTheExpectedEndAreByTheCalendar() {
    Sender real = new Sender("bench-1");
    for (int i = 1; i <= 4; i++) {
      real.unit("U" + i, 2 * i, 0.5e-3);
    }
    Sender.deliver(board, real.sent());
    assertThat(batch().perHour()).as("one in two minutes").isCloseTo(30, within(1e-9));
    assertThat(batch().ends()).isEqualTo(now[0].plusSeconds(8 * 120).toEpochMilli());
  }

  @Test
  void ofASimulatedBenchTheyAreByTheCalendarToo() {
    Sender sender = new Sender("bench-1").paced(2);
    for (int i = 1; i <= 4; i++) {
      sender.unit("U" + i, 2 * i, 0.5e-3);
    }
    sender.running("U5", 10);
    Sender.deliver(board, sender.sent());
    BatchView batch = batch();
    assertThat(batch.perHour())
        .as("one in two bench minutes is, at pace 2, one a minute")
        .isCloseTo(60, within(1e-9));
    assertThat(batch.left()).isEqualTo(8);
    assertThat(batch.ends()).isEqualTo(now[0].plusSeconds(8 * 60).toEpochMilli());
  }

  @Test
  void aLateBoardKnowsThemFromWhatTheBrokerKept() {
    Sender sender = new Sender("bench-1").paced(200); // as fast as a processor
    for (int i = 1; i <= 4; i++) {
      sender.unit("U" + i, 100 * i, 0.5e-3);
    }
    now[0] = Sender.START.plusSeconds(2 * 60 + 1);
    Sender.deliver(board, sender.retained());
    assertThat(batch().perHour()).as("one in half a minute").isCloseTo(120, within(1e-9));
    assertThat(batch().ends()).isEqualTo(now[0].plusSeconds(8 * 30).toEpochMilli());
    assertThat(batch().units().get(0).ended())
        .isEqualTo(Sender.START.plusSeconds(2 * 60).toEpochMilli());
  }

  @Test
  void nothingEndsLaterThanItIsHeardOf() {
    now[0] = Sender.START;
    Sender.deliver(board, new Sender("bench-1").unit("U1", 100, 0.5e-3).sent());
    assertThat(batch().units().get(0).ended()).isEqualTo(now[0].toEpochMilli());
  }

  @Test
  void theLatestUnitOfAStationIsSoByTheCalendarNotByItsBenchsTime() {
    now[0] = Sender.START.plusSeconds(30);
    Sender.deliver(board, new Sender("bench-1").paced(200).unit("U1", 100, 0.5e-3).sent());
    now[0] = Sender.START.plusSeconds(60 * 10);
    Sender.deliver(board, new Sender("bench-1").unit("U2", 9, 0.5e-3).sent());
    assertThat(station().latest().unit()).isEqualTo("U2");
    assertThat(board.overview(null, 0).batch().units().get(0).unit()).isEqualTo("U2");
  }

  @Test
  void aBatchOfWhichNoUnitFinishesAnyMoreIsLate() {
    Sender sender = new Sender("bench-1").paced(2);
    for (int i = 1; i <= 4; i++) {
      sender.unit("U" + i, 2 * i, 0.5e-3);
    }
    sender.running("U5", 10);
    Sender.deliver(board, sender.sent()); // one a minute
    now[0] = now[0].plusSeconds(3 * 60);
    assertThat(batch().lateSeconds()).isNull();
    now[0] = now[0].plusSeconds(1);
    assertThat(batch().lateSeconds()).isEqualTo(181);
    Sender.deliver(board, sender.sent()); // told again it is no news
    assertThat(batch().lateSeconds()).isEqualTo(181);
    Sender.deliver(board, new Sender("bench-1").unit("U5", 10, 0.5e-3).sent());
    assertThat(batch().lateSeconds()).isNull();
  }

  private void verdictAt(String unit, int minute, String time) {
    for (Message message : new Sender("bench-1").unit(unit, minute, 0.5e-3).retained()) {
      if (message.topic().contains("/verdict/")) {
        String payload =
            message
                .payload()
                .replaceAll("\"(started|time)\":\"[^\"]*\"", "\"$1\":\"" + time + "\"")
                .replace("\"planned\":12", "\"planned\":1000000");
        board.message(message.topic(), payload.getBytes(StandardCharsets.UTF_8));
      }
    }
  }

  @Test
  void timesOfAllCenturiesDoNotKeepTheFirstPageFromBeingShown() {
    verdictAt("A", 1, "1970-01-02T00:00:00Z");
    verdictAt("B", 2, "2026-11-25T10:02:00Z");
    assertThat(batch().left()).isEqualTo(999_998);
    assertThat(batch().ends()).as("in the year 57 million").isNull();
    assertThat(board.overview(null, 0).count().malformed()).isZero();
    verdictAt("C", 3, "9998-01-01T00:00:00Z");
    assertThat(board.overview(null, 0).count().malformed()).isEqualTo(1);
    assertThat(batch().finished()).isEqualTo(2);
  }

  @Test
  void withoutTheBatchsSizeNoEndIsMadeUp() {
    assertThat(Throughput.of(List.of(Sender.START), 1, 0))
        .isEqualTo(new Throughput(null, null, null));
    assertThat(Throughput.of(List.of(Sender.START), 1, 3)).isEqualTo(new Throughput(null, 2, null));
    assertThat(Throughput.of(List.of(Sender.START), 1, 1).remaining()).isEqualTo(Duration.ZERO);
    assertThat(Throughput.of(List.of(Sender.START, Sender.START), 2, 0).perHour())
        .as("at the same instant")
        .isNull();
  }

  @Test
  void ofManyStationsTheRateIsThatOfTenMinutesNotOfTheLastTwelveUnits() {
    List<Instant> ends = new ArrayList<>();
    for (int minute = 0; minute < 30; minute++) {
      for (int station = 0; station < 20; station++) { // all twenty within one second
        ends.add(Sender.START.minusSeconds(60L * minute).minusMillis(50L * station));
      }
    }
    Throughput throughput = Throughput.of(ends, ends.size(), 1000);
    assertThat(throughput.perHour()).as("20 a minute").isBetween(1150.0, 1350.0);
    assertThat(throughput.left()).isEqualTo(400);
    assertThat(throughput.remaining()).isBetween(Duration.ofMinutes(17), Duration.ofMinutes(22));
  }
}
