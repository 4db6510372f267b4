package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Stream;
import kitproof.batch.Batch;
import kitproof.batch.Series;
import kitproof.batch.SeriesReport;
import kitproof.batch.StationDrift;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.SubgroupChart;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.Test;

/**
 * What the values of a result go with: by messages alone a board tells what the report of the batch
 * says by the records. The figures themselves are tested in kitproof.limit.statistics, against the
 * handbooks.
 */
class BoardTrendsTest extends BoardScene {
  private static final int UNITS = 24;

  /** Seven digits are kept of each value. */
  private static final double DIGITS = 1e-6;

  private final List<Sender> stations = List.of(new Sender("bench-1"), new Sender("bench-2"));

  /** Hum rises with mains and with the hour, and is higher on the second bench. */
  private void batchOfTwoStations() {
    for (int i = 1; i <= UNITS; i++) {
      double mains = 225 + i * 7 % 11;
      double hum = 1e-4 + 1e-6 * (mains - 225) + 2e-6 * i + (i % 2) * 1e-4 + 1e-7 * (i * 5 % 7);
      stations.get(i % 2).mains(mains).unit("U%02d".formatted(i), 2 * i, hum);
    }
  }

  /** The check standard of the first bench is measured before, between and after; it drifts. */
  private Sender checks(double aMinute) {
    Sender sender = new Sender("bench-1").checking();
    for (int i = 0; i <= 8; i++) {
      int minute = 6 * i + 1;
      sender.unit("CS-01", "", minute, 3e-4 + aMinute * minute + 1e-7 * (i * 3 % 5), -0.5);
    }
    return sender;
  }

  private <T> List<T> all(Function<Sender, List<T>> what) {
    return stations.stream().flatMap(sender -> what.apply(sender).stream()).toList();
  }

  private Series reported(List<RunRecord> records) {
    return Series.of(Batch.of("pilot", records)).stream()
        .filter(series -> series.name().equals("hum"))
        .findFirst()
        .orElseThrow();
  }

  private AcrossView.Statistics told(Across asked) {
    return board.across(PILOT, asked).orElseThrow().statistics();
  }

  @Test
  void meansAndRangesAreThoseOfTheReport() {
    batchOfTwoStations();
    Sender.deliver(board, all(Sender::sent));
    for (int size : new int[] {2, 5, 10}) {
      SubgroupChart chart = SeriesReport.subgroups(reported(all(Sender::records)), size);
      GroupsView groups = told(Across.of("hum", null, 0).by(size)).groups();
      assertThat(groups.size()).isEqualTo(size);
      assertThat(groups.count()).isEqualTo(UNITS / size);
      for (int i = 0; i < groups.count(); i++) {
        GroupsView.Group group = groups.groups().get(i);
        assertThat(group.number()).isEqualTo(i + 1);
        assertThat(group.first()).isEqualTo("U%02d".formatted(i * size + 1));
        assertThat(group.last()).isEqualTo("U%02d".formatted((i + 1) * size));
        assertThat(group.mean()).isCloseTo(chart.means().get(i), within(DIGITS * 1e-4));
        assertThat(group.range()).isCloseTo(chart.ranges().get(i), within(DIGITS * 1e-4));
      }
      assertThat(groups.means().high())
          .isCloseTo(chart.meanLimits().upper(), within(DIGITS * 1e-3));
      assertThat(groups.ranges().high())
          .isCloseTo(chart.rangeLimits().upper(), within(DIGITS * 1e-3));
    }
    assertThat(told(Across.of("hum", null, 0).by(10)).groups().count()).isEqualTo(2);
    assertThatThrownBy(() -> Across.of("hum", null, 0).by(1)).hasMessageContaining("2 to 10");
  }

  @Test
  void aGroupThatStandsOutIsMarked() {
    for (int i = 1; i <= 60; i++) {
      double hum = 5e-4 + 1e-6 * (i * 7 % 5) + (i > 25 && i <= 30 ? 2e-5 : 0);
      stations.get(0).unit("U%02d".formatted(i), i, i == 43 ? hum + 6e-5 : hum);
    }
    Sender.deliver(board, all(Sender::sent));
    GroupsView groups = told(Across.of("hum", null, 0).by(5)).groups();
    assertThat(groups.groups().get(5).rules()).contains("1 point beyond 3 sigma");
    assertThat(groups.groups()).filteredOn(GroupsView.Group::beyond).hasSize(1);
    assertThat(groups.groups().get(8).beyond()).as("the ninth, with U43").isTrue();
    assertThat(told(Across.of("hum", null, 0)).remarks())
        .anyMatch(
            remark ->
                remark.startsWith("groups of 5 units in a row: ")
                    && remark.contains("1 point beyond 3 sigma at group 6"));
  }

  @Test
  void ofManyGroupsTheLatestAreDrawnAndTheLimitsAreOfAll() {
    int units = 2 * GroupsView.MOST + 40;
    for (int i = 1; i <= units; i++) {
      stations.get(0).unit("U%03d".formatted(i), i, 5e-4 + 1e-6 * (i * 7 % 5));
    }
    now[0] = Sender.START.plusSeconds(60L * (units + 1));
    Sender.deliver(
        board, all(Sender::sent).stream().filter(m -> m.topic().contains("/record/")).toList());
    GroupsView groups = told(Across.of("hum", null, 0).by(2)).groups();
    assertThat(groups.count()).isEqualTo(units / 2);
    assertThat(groups.groups()).hasSize(GroupsView.MOST);
    assertThat(groups.groups().get(0).number()).isEqualTo(21);
    assertThat(groups.groups().get(GroupsView.MOST - 1).last()).isEqualTo("U%03d".formatted(units));
    assertThat(told(Across.of("hum", null, 0)).against().get(1).dots())
        .hasSizeBetween(AgainstView.MOST / 2, AgainstView.MOST);
  }

  @Test
  void whatGoesWithStationTimeOfDayAndSupplyIsToldAsByTheReport() {
    batchOfTwoStations();
    Sender.deliver(board, all(Sender::sent));
    List<Series> series = Series.of(Batch.of("pilot", all(Sender::records)));
    SeriesReport report =
        SeriesReport.of(series, ZoneOffset.UTC, 0).stream()
            .filter(one -> one.series().name().equals("hum"))
            .findFirst()
            .orElseThrow();
    List<AgainstView> against = told(Across.of("hum", null, 0)).against();
    assertThat(against)
        .extracting(AgainstView::kind)
        .containsExactly("station", "time of day", "supply voltage");
    assertThat(against)
        .extracting(AgainstView::words)
        .containsExactlyElementsOf(report.influences().stream().map(one -> one.words()).toList());
    for (int i = 0; i < against.size(); i++) {
      assertThat(against.get(i).probability())
          .isCloseTo(report.influences().get(i).probability(), within(1e-4));
      assertThat(against.get(i).clear()).isEqualTo(report.influences().get(i).isClear());
    }
    AgainstView station = against.get(0);
    assertThat(station.clear()).isTrue();
    assertThat(station.names()).containsExactly("bench-1", "bench-2");
    assertThat(station.dots().get(0))
        .extracting(AgainstView.Dot::unit, AgainstView.Dot::x)
        .containsExactly("U01", 1.0);
    AgainstView supply = against.get(2);
    assertThat(supply.axis()).isEqualTo("mains voltage");
    assertThat(supply.words()).contains(" a volt of mains voltage");
    assertThat(supply.dots().get(0).x()).isEqualTo(232);
    assertThat(supply.line()).isNotNull();
    assertThat(against.get(1).dots().get(0).x())
        .as("U01 began a minute after ten")
        .isCloseTo(10 + 1 / 60.0, within(1e-9));
  }

  @Test
  void whatCannotBeToldSaysWhy() {
    Sender.deliver(board, stations.get(0).unit("A", 1, 1e-4).unit("B", 2, 2e-4).sent());
    AcrossView.Statistics told = told(Across.of("hum", null, 0));
    assertThat(told.groups()).isNull();
    assertThat(told.against())
        .extracting(AgainstView::words)
        .containsExactly(
            "all units on one station",
            "too few units, or all at the same time",
            "no unit has a result named mains voltage or supply voltage or hv");
    assertThat(told.against()).extracting(AgainstView::probability).containsOnlyNulls();
    assertThat(told.drifts()).isEmpty();
  }

  @Test
  void driftOfTheStationIsToldFromThatOfTheUnitsByTheCheckStandard() {
    for (double aMinute : new double[] {0, 2e-6}) {
      Board one = new Board(clock(now));
      Sender units = new Sender("bench-1");
      for (int i = 1; i <= UNITS; i++) {
        units.unit("U%02d".formatted(i), 2 * i, 1e-4 + 4e-6 * i + 1e-7 * (i * 5 % 7));
      }
      Sender checks = checks(aMinute);
      List<Message> all = new ArrayList<>(units.retained());
      all.addAll(checks.retained());
      Sender.deliver(one, all);
      AcrossView across = one.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
      assertThat(across.standards()).containsExactly("CS-01");
      assertThat(across.units()).isEqualTo(UNITS);
      StationDrift reported =
          StationDrift.of(List.of(reported(units.records())), checks.records()).get(0);
      assertThat(across.statistics().drifts())
          .containsExactly(
              new AcrossView.Drift("bench-1", reported.whose().toString(), reported.words()));
      assertThat(across.statistics().drifts().get(0).whose())
          .isEqualTo(
              aMinute == 0
                  ? "the units drift, not the station"
                  : "the station drifts, not the units");
    }
  }

  @Test
  void aUnitKeptForChecksCanBeChosenAndNewChecksAreNews() {
    for (int i = 1; i <= UNITS; i++) {
      stations.get(0).unit("U%02d".formatted(i), 2 * i, 1e-4 + 4e-6 * i + 1e-7 * (i * 5 % 7));
    }
    Sender.deliver(board, all(Sender::sent));
    Sender kept = new Sender("bench-1");
    for (int i = 0; i <= 8; i++) {
      kept.unit("GOLDEN", "", 6 * i + 1, 3e-4 + 1e-7 * (i * 3 % 5), -0.5);
    }
    kept.unit("SPARE", "", 3, 3e-4, -0.5);
    long before = board.version(PILOT);
    Sender.deliver(board, kept.sent());
    assertThat(board.version(PILOT)).as("a page that is open asks again").isGreaterThan(before);
    AcrossView offered = board.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
    assertThat(offered.standards()).containsExactly("GOLDEN");
    assertThat(offered.statistics().drifts()).as("no station says that it is one").isEmpty();
    assertThat(told(Across.of("hum", null, 0).against("GOLDEN")).drifts())
        .extracting(AcrossView.Drift::whose)
        .containsExactly("the units drift, not the station");
    assertThat(told(Across.of("hum", null, 0).against("nobody")).drifts()).isEmpty();
  }

  @Test
  void aRunInErrorSaysNothingOfItsUnit() {
    Sender sender = stations.get(0);
    Stream.of("A", "B", "C").forEach(unit -> sender.unit(unit, 1 + unit.charAt(0) - 'A', 1e-4));
    sender.broken("B", 9, Verdict.ERROR);
    Sender.deliver(board, sender.sent());
    AcrossView across = board.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
    assertThat(across.units()).as("each by its last attempt").isEqualTo(3);
    assertThat(across.without()).isZero();
  }
}
