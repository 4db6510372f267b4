package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Random;
import kitproof.mqtt.Message;
import kitproof.mqtt.Topics;
import kitproof.value.Conditions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Messages that are damaged, too large, or from somebody with bad intentions. */
class BoardHostilityTest extends BoardScene {
  @Test
  void verdictsAndRecordsOfStationsBeyondTheMostAreCounted() {
    Board small = new Board(clock(now), new Bounds(20_000, 1, 20, 1 << 20, 10 * 250, 10_000));
    Sender.deliver(small, new Sender("bench-1").unit("A", 1, 0.5e-3).retained());
    assertThat(small.overview(null, 0).count().refused()).isZero();
    Sender.deliver(small, new Sender("bench-2").unit("B", 2, 0.5e-3).retained());
    assertThat(small.overview(null, 0).stations()).hasSize(1);
    assertThat(small.overview(null, 0).count().refused()).as("verdict, record").isEqualTo(2);
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
    board.across(PILOT, Across.of("hum", null, 0));
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
    assertThat(small.across(PILOT, Across.of("hum", null, 0)).orElseThrow().without()).isPositive();
  }

  /**
   * Nine thousand letters in the names of one run: their room is counted, not only their number.
   */
  @Test
  void namesOfManyLettersTakeTheirRoom() {
    Board small =
        new Board(clock(now), new Bounds(100_000, 300, 25_000, 1 << 18, 1 << 20, 1 << 20));
    for (int i = 0; i < 60; i++) {
      String name = "%03d".formatted(i) + "\u4e2d".repeat(900);
      for (Message message :
          new Sender("b").unit("unit", "batch", i + 1, 0.5e-3, -0.5).retained()) {
        String payload =
            message
                .payload()
                .replace("\"attic\"", "\"" + name + "\"")
                .replace("\"linnet-12\"", "\"" + name + "\"")
                .replace("\"batch\":\"batch\"", "\"batch\":\"" + name + "\"")
                .replace("\"plan\":\"final test\"", "\"plan\":\"" + name + "\"");
        String run = Sender.run("unit", i + 1);
        if (message.topic().contains("/record/")) {
          String topic = Topics.record(name, name, "unit", run);
          small.message(topic, payload.getBytes(StandardCharsets.UTF_8));
        } else if (message.topic().contains("/verdict/")) {
          String topic = Topics.verdict(name, name, "unit", run);
          small.message(topic, payload.getBytes(StandardCharsets.UTF_8));
        }
      }
    }
    Overview overview = small.overview(null, 0);
    assertThat(overview.count().malformed()).isZero();
    assertThat(overview.count().forgotten())
        .as("of 60 runs with 3600 letters each")
        .isBetween(15L, 35L);
    assertThat(overview.batch()).isNotNull();
  }

  @Test
  void kindsOfResultsAreBoundedByTheirWordsToo() {
    ResultKinds kinds = new ResultKinds();
    int last = 0;
    for (int i = 0; i < 2000 && last >= 0; i++) {
      String name = i + "n".repeat(1000);
      last =
          kinds.number(
              new ResultKind(
                  name,
                  Conditions.of("c", "c".repeat(1998)),
                  kitproof.value.Unit.VOLT,
                  false,
                  "",
                  null,
                  null));
    }
    assertThat(last).isEqualTo(-1);
    assertThat(kinds.size()).isBetween(1000, ResultKinds.MOST_LETTERS / 3000);
    assertThat(kinds.number(kinds.get(7))).as("those that are known stay known").isEqualTo(7);
  }

  /** Five hundred conditions in four kilobytes grow tenfold when they are read. */
  @Test
  void smallPartsOfResultsTakeTheRoomThatTheyGrowTo() {
    List<Message> sent = new Sender("bench-1").unit("A", 1, 0.5e-3).sent();
    Message start = sent.get(0);
    Message result =
        sent.stream().filter(one -> one.topic().endsWith("/result")).findFirst().orElseThrow();
    StringBuilder many = new StringBuilder();
    for (int i = 0; i < 300; i++) {
      many.append("\"").append(Integer.toString(i, 36)).append("\":\"\",");
    }
    board.message(start.topic(), start.payload().getBytes(StandardCharsets.UTF_8));
    for (int i = 0; i < 400; i++) {
      String payload =
          result
              .payload()
              .replaceFirst("\"id\":\"([^\"]*)/\\d+\"", "\"id\":\"$1/" + (i + 10) + "\"")
              .replaceFirst("\"conditions\":\\{", "\"conditions\":{" + many);
      board.message(result.topic(), payload.getBytes(StandardCharsets.UTF_8));
    }
    UnitView unit = board.unit("attic", "linnet-12", "A", null).orElseThrow();
    assertThat(board.overview(null, 0).count().malformed()).isZero();
    assertThat(unit.results().size()).as("of 400 of some 36 kB each").isBetween(60, 150);
    assertThat(unit.missing()).isEqualTo(400 - unit.results().size());
  }

  @ParameterizedTest
  @ValueSource(ints = {Integer.MIN_VALUE, -1, 1, Integer.MAX_VALUE})
  void noPageIsBeyondTheLast(int page) {
    Sender.deliver(board, new Sender("bench-1").unit("A", 1, 0.5e-3).sent());
    assertThat(board.overview(PILOT, page).batch().page()).isZero();
    assertThat(board.across(PILOT, Across.of("hum", null, page)).orElseThrow().values()).hasSize(1);
  }
}
