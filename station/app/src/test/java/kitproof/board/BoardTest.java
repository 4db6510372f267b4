package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import kitproof.event.Verdict;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class BoardTest {
  private static final BatchKey PILOT = new BatchKey("attic", "linnet-12", "pilot");
  private final Instant[] now = {Sender.START.plusSeconds(3600)};
  private final Board board = new Board(clock(now));

  private static InstantSource clock(Instant[] now) {
    return () -> now[0];
  }

  private BatchView batch() {
    return board.overview(PILOT, 0).batch();
  }

  private StationView station() {
    assertThat(board.overview(null, 0).stations()).hasSize(1);
    return board.overview(null, 0).stations().get(0);
  }

  @Test
  void anEmptyBoardSaysThatNothingHasBeenHeardYet() {
    Overview overview = board.overview(null, 0);
    assertThat(overview.stations()).isEmpty();
    assertThat(overview.batch()).isNull();
    assertThat(overview.link().up()).isFalse();
    assertThat(overview.link().trouble()).isEqualTo("not connected yet");
    board.link(null);
    assertThat(board.overview(null, 0).link().up()).isTrue();
  }

  @Test
  void yieldsCountUnitsByTheirFirstAndLastRunAndLeaveOutTheStationsErrors() {
    Sender sender =
        new Sender("bench-1")
            .unit("A", 1, 0.5e-3) // passes at once
            .unit("B", 2, 2e-3) // fails
            .unit("C", 3, 2e-3) // fails
            .broken("D", 4, Verdict.ERROR) // says nothing of D
            .broken("E", 5, Verdict.ABORTED)
            .unit("B", 6, 0.5e-3) // repaired
            .unit("D", 7, 0.5e-3);
    Sender.deliver(board, sender.sent());
    BatchView batch = batch();
    assertThat(batch.tested()).isEqualTo(5);
    assertThat(batch.firstPassed()).as("A and D").isEqualTo(2);
    assertThat(batch.passed()).as("A, B and D").isEqualTo(3);
    assertThat(batch.firstPassYield()).isEqualTo(0.4);
    assertThat(batch.finalYield()).isEqualTo(0.6);
    assertThat(batch.units())
        .extracting(BatchView.Unit::unit)
        .as("the latest first")
        .containsExactly("D", "B", "E", "C", "A");
    assertThat(batch.units().get(1).runs()).isEqualTo(2);
    assertThat(batch.failures())
        .containsExactly(
            new BatchView.Failure("hum", true, 2, 2 / 3.0),
            new BatchView.Failure("aborted", false, 1, 1));
  }

  @Test
  void aBoardThatComesLateShowsTheSameAsOneThatHeardEverything() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 12; i++) {
      sender.unit("LN12-" + i, i, i % 3 == 0 ? 2e-3 : 1e-4 * i);
    }
    sender.running("LN12-13", 13);
    Board late = new Board(clock(now));
    Sender.deliver(board, sender.sent());
    Sender.deliver(late, sender.retained());
    assertThat(late.overview(null, 0).batch()).isEqualTo(board.overview(null, 0).batch());
    assertThat(late.overview(null, 0).stations()).isEqualTo(board.overview(null, 0).stations());
    assertThat(late.unit("attic", "linnet-12", "LN12-3", null))
        .isPresent()
        .isEqualTo(board.unit("attic", "linnet-12", "LN12-3", null));
    assertThat(late.across(PILOT, "hum", null, 0))
        .isPresent()
        .isEqualTo(board.across(PILOT, "hum", null, 0));
  }

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

  @Test
  void aBoardThatComesLateShowsThatAUnitMustNotBeOpened() {
    for (String safe : List.of("no", "unknown", "yes")) {
      assertThat(told(safe.equals("unknown") ? "offline" : "online", "LN12-7", safe))
          .isEqualTo(new StationView.Opening(safe, "the HV rail is live"));
    }
  }

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void repeatsAndAnyOrderOfRetainedMessagesChangeNothing(long seed) {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 5; i++) {
      sender.unit("LN12-" + i, i, i == 3 ? 2e-3 : 0.5e-3);
    }
    Sender.deliver(board, sender.sent());
    List<Message> mixed = new ArrayList<>(sender.retained());
    mixed.addAll(sender.retained());
    Collections.shuffle(mixed, new Random(seed));
    Board other = new Board(clock(now));
    Sender.deliver(other, mixed);
    Sender.deliver(board, sender.sent());
    assertThat(other.overview(PILOT, 0).batch()).as("seed %d", seed).isEqualTo(batch());
    assertThat(board.overview(PILOT, 0).count().repeats()).isEqualTo(5 * 9);
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
  void resultsOfARunGoingOnComeOneByOne() {
    Sender whole = new Sender("bench-1").unit("LN12-001", 1, 2e-3);
    Sender.deliver(board, whole.sent().subList(0, 3));
    UnitView unit = board.unit("attic", "linnet-12", "LN12-001", null).orElseThrow();
    assertThat(unit.partial()).isFalse();
    assertThat(unit.results()).hasSize(1);
    assertThat(unit.results().get(0).value()).isEqualTo("2 mV");
    assertThat(unit.results().get(0).limit()).isEqualTo("at most 1 mV");
    assertThat(unit.results().get(0).step()).isEqualTo("hum");
    assertThat(unit.failed()).containsExactly("hum (mode triode)");
  }

  @Test
  void aResultLostOnTheWayIsToldUntilTheRecordComes() {
    List<Message> sent = new ArrayList<>(new Sender("bench-1").unit("A", 1, 2e-3).sent());
    sent.remove(2);
    Sender.deliver(board, sent.subList(0, 5));
    assertThat(board.unit("attic", "linnet-12", "A", null).orElseThrow().partial()).isTrue();
    Sender.deliver(board, sent);
    UnitView unit = board.unit("attic", "linnet-12", "A", null).orElseThrow();
    assertThat(unit.partial()).isFalse();
    assertThat(unit.results()).hasSize(2);
  }

  @Test
  void unitsPerHourAndTheExpectedEndAreInRealTime() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 4; i++) {
      sender.unit("U" + i, 2 * i, 0.5e-3);
    }
    sender.running("U5", 10);
    Sender.deliver(board, sender.sent());
    BatchView batch = batch();
    // one in two bench minutes is, at pace 2, one a minute
    assertThat(batch.perHour()).isCloseTo(60, within(1e-9));
    assertThat(batch.left()).isEqualTo(8);
    assertThat(batch.ends()).isEqualTo(now[0].plusSeconds(8 * 60).toEpochMilli());
  }

  @Test
  void aBatchOfWhichNoUnitFinishesAnyMoreIsLate() {
    Sender sender = new Sender("bench-1");
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
  void aValueThatNoBenchMeasuresIsNotValidAndBreaksNoPage() {
    Sender.deliver(board, new Sender("bench-1").unit("A", 1, 1e39).unit("B", 2, 0.5e-3).sent());
    AcrossView across = board.across(PILOT, "hum", null, 0).orElseThrow();
    assertThat(across.values())
        .extracting(AcrossView.Value::shown)
        .containsExactly("500 uV", "not valid");
    assertThat(across.points().get(0).mean()).isNull();
    assertThat(board.unit("attic", "linnet-12", "A", null).orElseThrow().results()).hasSize(2);
    List<Message> curve = new Sender("bench-1").unit("C", "pilot", 3, 0.5e-3, 1e39).sent();
    Sender.deliver(board, curve);
    assertThat(board.across(PILOT, "frequency response", null, 0).orElseThrow().values().get(0))
        .extracting(AcrossView.Value::shown)
        .isEqualTo("empty curve");
  }

  @Test
  void wordsOfARunGoingOnAreCutLikeThoseOfARecord() {
    Sender.deliver(board, new Sender("bench-1").notice("A", 1, "x".repeat(100_000)).sent());
    assertThat(board.unit("attic", "linnet-12", "A", null).orElseThrow().notices())
        .singleElement()
        .asString()
        .hasSize(Fields.LONGEST_WORDS);
    assertThat(station().notices()).singleElement().asString().hasSize(Fields.SHORT_WORDS);
  }

  @Test
  void aRunThatIsGivenUpIsKeptByNobody() {
    Board small = new Board(clock(now), new Bounds(20_000, 3, 2, 1 << 20, 10 * 250, 10_000));
    Sender.deliver(small, new Sender("bench-1").notice("A", 1, "to know").sent());
    assertThat(small.overview(null, 0).stations().get(0).notices()).containsExactly("to know");
    Sender.deliver(small, new Sender("bench-2").unit("B", 2, 0.5e-3).unit("C", 3, 0.5e-3).sent());
    assertThat(small.overview(null, 0).count().forgotten()).isEqualTo(1);
    assertThat(small.overview(null, 0).stations().get(0).notices()).isEmpty();
    assertThat(small.overview(null, 0).stations().get(1).latest().unit()).isEqualTo("C");
  }

  @Test
  void withoutTheBatchsSizeNoEndIsMadeUp() {
    assertThat(Throughput.of(List.of(Sender.START), 1, 0, 1))
        .isEqualTo(new Throughput(null, null, null));
    assertThat(Throughput.of(List.of(Sender.START), 1, 3, 1))
        .isEqualTo(new Throughput(null, 2, null));
    assertThat(Throughput.of(List.of(Sender.START), 1, 1, 1).remaining()).isEqualTo(Duration.ZERO);
    assertThat(Throughput.of(List.of(Sender.START, Sender.START), 2, 0, 1).perHour())
        .as("at the same instant")
        .isNull();
  }

  @Test
  void aResultAcrossTheBatchHasItsLimitsAndSpread() {
    double[] flow = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    Sender sender = new Sender("bench-1");
    for (int i = 0; i < flow.length; i++) {
      sender.unit("U" + i, i + 1, flow[i] * 1e-6);
    }
    Sender.deliver(board, sender.sent());
    AcrossView across = board.across(PILOT, "hum", null, 0).orElseThrow();
    assertThat(across.variants()).containsExactly("mode triode");
    assertThat(across.unit()).isEqualTo("V");
    assertThat(across.values())
        .as("the latest first")
        .extracting(AcrossView.Value::unit)
        .startsWith("U9", "U8");
    assertThat(across.values().get(0).shown()).isEqualTo("52.1 uV");
    AcrossView.Point first = across.points().get(0);
    assertThat(first.one()).extracting(AcrossView.Value::unit).isEqualTo("U0");
    assertThat(first.mean()).isEqualTo(49.6e-6);
    assertThat(first.high()).isEqualTo(1e-3);
    assertThat(first.low()).isNull();
    // NIST/SEMATECH e-Handbook 6.3.2.2, its example in microvolts
    assertThat(across.spread().high()).isCloseTo(55.8041e-6, within(5e-11));
    AcrossView curves = board.across(PILOT, "frequency response", "mode triode", 0).orElseThrow();
    assertThat(curves.curves()).hasSize(10);
    assertThat(curves.curves().get(0).curve().mask()).hasSize(4);
    assertThat(board.across(PILOT, "nothing", null, 0)).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "{",
        "[]",
        "null",
        "{}",
        "{\"schema\":1}",
        "{\"schema\":1,\"shop\":\"attic\",\"station\":\"bench-1\",\"state\":\"running\"}",
        "{\"schema\":1,\"shop\":\"attic\",\"station\":\"bench-1\",\"state\":\"dancing\"}",
        "{\"schema\":1,\"shop\":\"attic\",\"station\":\"bench-2\",\"state\":\"online\"}",
        "{\"schema\":1,\"shop\":{},\"station\":\"bench-1\",\"state\":\"online\"}",
        "{\"schema\":1,\"shop\":\"attic\",\"station\":\"bench-1\",\"state\":\"online\",\"time\":\"x\"}",
        "{\"schema\":1,\"shop\":\"attic\",\"station\":\"bench-1\",\"state\":\"online\"} {}",
      })
  void whatIsNoStatusIsCountedAndNothingElse(String payload) {
    board.message("kitproof/1/attic/bench-1/status", payload.getBytes(StandardCharsets.UTF_8));
    Overview overview = board.overview(null, 0);
    assertThat(overview.count().malformed()).isEqualTo(1);
    assertThat(overview.stations()).isEmpty();
  }

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 2, 3, 4})
  void damagedMessagesNeitherEndTheBoardNorSpoilTheRest(long seed) {
    Random random = new Random(seed);
    Sender sender = new Sender("bench-1").unit("good", 1, 0.5e-3).running("B", 2);
    for (int round = 0; round < 400; round++) {
      for (Message message : sender.sent()) {
        byte[] payload = message.payload().getBytes(StandardCharsets.UTF_8);
        for (int i = random.nextInt(4); i >= 0; i--) {
          payload[random.nextInt(payload.length)] = (byte) random.nextInt(256);
        }
        if (random.nextInt(4) == 0) {
          payload = java.util.Arrays.copyOf(payload, random.nextInt(payload.length));
        }
        board.message(message.topic(), payload);
      }
    }
    assertThat(board.overview(null, 0).count().malformed()).as("seed %d", seed).isPositive();
    Sender.deliver(board, sender.retained());
    assertThat(board.overview(PILOT, 0).batch().units())
        .as("seed %d", seed)
        .extracting(BatchView.Unit::unit)
        .contains("good");
    assertThat(board.unit("attic", "linnet-12", "good", Sender.run("good", 1))).isPresent();
  }

  @Test
  void nullsInResultsAreMalformed() {
    Sender sender = new Sender("bench-1").unit("A", 1, 0.5e-3);
    for (Message message : sender.sent()) {
      for (String part :
          List.of(
              "measurement",
              "judgement",
              "figure",
              "quantity",
              "name",
              "curve",
              "outcome",
              "limit",
              "high",
              "type",
              "yUnit")) {
        String payload =
            message
                .payload()
                .replaceAll("\"" + part + "\":(\\{|\")", "\"" + part + "\":null,\"x\":$1");
        board.message(message.topic(), payload.getBytes(StandardCharsets.UTF_8));
      }
    }
    for (Message message : sender.sent()) {
      String payload =
          message
              .payload()
              .replaceAll("(\"value\":[^,]+,)\"unit\":\"[^\"]+\"", "$1\"unit\":null")
              .replaceAll("\"conditions\":\\{", "\"conditions\":{\"mode\":{\"a\":[1,2]},");
      board.message(message.topic(), payload.getBytes(StandardCharsets.UTF_8));
    }
    assertThat(board.overview(null, 0).count().malformed()).isPositive();
    board.unit("attic", "linnet-12", "A", null);
    board.across(PILOT, "hum", null, 0);
  }

  @Test
  void nobodySpeaksForAnotherStationOrChangesAnothersRun() {
    Sender one = new Sender("bench-1").unit("A", 1, 0.5e-3);
    Sender.deliver(board, one.sent());
    Sender two = new Sender("bench-2").unit("A", 1, 2e-3);
    Sender.deliver(board, two.sent());
    assertThat(batch().passed()).isEqualTo(1);
    assertThat(board.overview(null, 0).count().malformed()).isPositive();
    String topic = "kitproof/1/attic/bench-3/status";
    Message status = new Sender("bench-1").status("offline", "").sent().get(0);
    board.message(topic, status.payload().getBytes(StandardCharsets.UTF_8));
    assertThat(board.overview(null, 0).stations())
        .extracting(StationView::station)
        .doesNotContain("bench-3");
  }

  @Test
  void whateverComesItKeepsWithinItsBounds() {
    Board small = new Board(clock(now), new Bounds(20_000, 3, 20, 1 << 20, 10 * 250, 10_000));
    small.message("kitproof/1/attic/bench-1/status", new byte[20_001]);
    assertThat(small.overview(null, 0).count().oversized()).isEqualTo(1);
    for (int i = 0; i < 10; i++) {
      Sender.deliver(small, new Sender("bench-" + i).status("online", "").sent());
    }
    assertThat(small.overview(null, 0).stations()).hasSize(3);
    assertThat(small.overview(null, 0).count().refused()).isEqualTo(7);
    for (int i = 1; i <= 50; i++) {
      Sender.deliver(small, new Sender("bench-1").unit("U" + i, i, 0.5e-3).retained());
    }
    assertThat(small.overview(PILOT, 0).batch().finished()).isEqualTo(20);
    assertThat(small.overview(null, 0).count().forgotten()).isEqualTo(30);
    assertThat(small.unit("attic", "linnet-12", "U30", null)).isEmpty();
    UnitView old = small.unit("attic", "linnet-12", "U31", null).orElseThrow();
    assertThat(old.results()).as("neither whole nor in brief").isEmpty();
    assertThat(old.missing()).isEqualTo(2);
    UnitView newer = small.unit("attic", "linnet-12", "U36", null).orElseThrow();
    assertThat(newer.results()).as("in brief").hasSize(2);
    assertThat(newer.results().get(0).value()).isEqualTo("500 uV");
    assertThat(newer.results().get(1).curve()).isNull();
    assertThat(old.verdict()).isEqualTo("pass");
    assertThat(small.unit("attic", "linnet-12", "U50", null).orElseThrow().results()).hasSize(2);
    assertThat(small.across(PILOT, "hum", null, 0).orElseThrow().without()).isPositive();
  }

  @Test
  void ofManyStationsTheRateIsThatOfTenMinutesNotOfTheLastTwelveUnits() {
    List<Instant> ends = new ArrayList<>();
    for (int minute = 0; minute < 30; minute++) {
      for (int station = 0; station < 20; station++) { // all twenty within one second
        ends.add(Sender.START.minusSeconds(60L * minute).minusMillis(50L * station));
      }
    }
    Throughput throughput = Throughput.of(ends, ends.size(), 1000, 1);
    assertThat(throughput.perHour()).as("20 a minute").isBetween(1150.0, 1350.0);
    assertThat(throughput.left()).isEqualTo(400);
    assertThat(throughput.remaining()).isBetween(Duration.ofMinutes(17), Duration.ofMinutes(22));
  }

  @Test
  void verdictsAloneMakeTheOverviewRightBeforeAnyRecordHasCome() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 12; i++) {
      sender.unit("LN12-" + i, i, i % 3 == 0 ? 2e-3 : 1e-4 * i);
    }
    Sender.deliver(board, sender.sent());
    Board early = new Board(clock(now));
    Sender.deliver(
        early, sender.retained().stream().filter(m -> !m.topic().contains("/record/")).toList());
    assertThat(early.overview(null, 0).batch()).isEqualTo(board.overview(null, 0).batch());
    UnitView unit = early.unit("attic", "linnet-12", "LN12-3", null).orElseThrow();
    assertThat(unit.verdict()).isEqualTo("fail");
    assertThat(unit.results()).isEmpty();
    assertThat(unit.missing()).isEqualTo(2);
    assertThat(early.across(PILOT, "hum", null, 0)).isEmpty();
    Sender.deliver(early, sender.retained());
    Sender.deliver(early, sender.retained());
    assertThat(early.unit("attic", "linnet-12", "LN12-3", null))
        .isEqualTo(board.unit("attic", "linnet-12", "LN12-3", null));
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

  @Test
  void aBatchOfManyUnitsHasAChartOfFewPoints() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 500; i++) {
      sender.unit("U" + i, i, i == 400 ? 2e-3 : 1e-6 * i);
    }
    Sender.deliver(
        board, sender.sent().stream().filter(m -> m.topic().contains("/record/")).toList());
    AcrossView across = board.across(PILOT, "hum", null, 0).orElseThrow();
    assertThat(across.units()).isEqualTo(500);
    assertThat(across.notPassed()).isEqualTo(1);
    assertThat(across.points()).hasSize(250);
    AcrossView.Point point = across.points().get(199);
    assertThat(point)
        .extracting(AcrossView.Point::from, AcrossView.Point::to, AcrossView.Point::notPassed)
        .containsExactly(399, 400, 1);
    assertThat(point.least()).isEqualTo(399e-6);
    assertThat(point.most()).isEqualTo(2e-3);
    assertThat(point.mean()).isCloseTo((399e-6 + 2e-3) / 2, within(1e-9));
    assertThat(across.values()).hasSize(50);
    assertThat(board.across(PILOT, "hum", null, 9).orElseThrow().values())
        .last()
        .extracting(AcrossView.Value::unit)
        .isEqualTo("U1");
    assertThat(batch().tested()).isEqualTo(500);
  }

  @Test
  void unitsComeByPages() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 120; i++) {
      sender.unit("U" + i, i, 0.5e-3);
    }
    Sender.deliver(board, sender.retained());
    assertThat(batch().units()).hasSize(50);
    assertThat(board.overview(PILOT, 2).batch().units())
        .hasSize(20)
        .last()
        .extracting(BatchView.Unit::unit)
        .isEqualTo("U1");
    assertThat(board.overview(PILOT, 99).batch().page()).as("the last").isEqualTo(2);
  }

  @Test
  void whoWaitsIsToldOfAChange() throws InterruptedException {
    long seen = board.version();
    Sender.deliver(board, new Sender("bench-1").status("online", "").sent());
    assertThat(board.await(seen, Duration.ofDays(1))).isGreaterThan(seen);
    long now = board.version();
    assertThat(board.await(now, Duration.ofMillis(1))).isEqualTo(now);
  }
}
