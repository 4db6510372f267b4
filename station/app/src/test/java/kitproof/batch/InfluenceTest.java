package kitproof.batch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.function.IntToDoubleFunction;
import kitproof.value.Conditions;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Effects put in by construction; the seed is fixed. */
class InfluenceTest {
  private static final int UNITS = 40;
  private static final Instant EIGHT = Instant.parse("2026-11-25T08:00:00Z");
  private static final long SEED = 12;

  private static Series series(String name, Unit unit, IntToDoubleFunction value) {
    List<Series.Point> points = new ArrayList<>();
    for (int i = 0; i < UNITS; i++) {
      points.add(
          new Series.Point(
              "LN12-" + i,
              "bench-" + i % 2,
              EIGHT.plusSeconds(86_400L * (i / 20) + 1200L * (i % 20)), // two days
              value.applyAsDouble(i)));
    }
    return new Series(name, Conditions.NONE, unit, null, false, points);
  }

  private static IntToDoubleFunction noise(double scale) {
    Random random = new Random(SEED);
    return i -> scale * random.nextGaussian();
  }

  private static Influence of(List<Influence> all, Influence.Kind kind) {
    return all.stream().filter(one -> one.kind() == kind).findFirst().orElseThrow();
  }

  private static List<Influence> influences(Series series, Series... others) {
    List<Series> all = new ArrayList<>(List.of(others));
    all.add(series);
    return Influence.of(series, Influence.Supply.in(all), ZoneOffset.UTC);
  }

  @Test
  void pureNoiseGoesWithNothing() {
    IntToDoubleFunction noise = noise(0.1);
    Random volts = new Random(SEED + 1);
    Series supply = series("mains voltage", Unit.VOLT, i -> 230 + 2 * volts.nextGaussian());
    List<Influence> found =
        influences(series("gain", Unit.DECIBEL, i -> 26 + noise.applyAsDouble(i)), supply);
    assertThat(found).hasSize(3).noneMatch(Influence::isClear);
  }

  @Test
  void aStationThatReadsHigherIsToldFromTheOther() {
    IntToDoubleFunction noise = noise(0.1);
    List<Influence> found =
        influences(series("gain", Unit.DECIBEL, i -> 26 + 0.2 * (i % 2) + noise.applyAsDouble(i)));
    Influence station = of(found, Influence.Kind.STATION);
    assertThat(station.isClear()).isTrue();
    assertThat(station.words()).matches("differs by 0\\.(1|2)[0-9]* dB between stations");
    assertThat(of(found, Influence.Kind.TIME_OF_DAY).isClear()).isFalse();
  }

  @Test
  void whatMovesWithTheHourIsTold() {
    IntToDoubleFunction noise = noise(0.02);
    List<Influence> found =
        influences(
            series("gain", Unit.DECIBEL, i -> 26 + 0.05 * (i % 20) / 3 + noise.applyAsDouble(i)));
    Influence hour = of(found, Influence.Kind.TIME_OF_DAY);
    assertThat(hour.isClear()).isTrue();
    assertThat(hour.words()).matches("moves by 0\\.0(4|5)[0-9]* dB an hour of the day");
  }

  @Test
  void theTimeOfDayIsThatOfTheZone() {
    Series gain = series("gain", Unit.DECIBEL, i -> 26 + 0.05 * (i % 20) / 3);
    // midnight of this zone lies in the middle of the day's units: no straight line is left
    List<Influence> elsewhere = Influence.of(gain, Optional.empty(), ZoneId.of("Pacific/Auckland"));
    List<Influence> here = Influence.of(gain, Optional.empty(), ZoneOffset.UTC);
    assertThat(of(here, Influence.Kind.TIME_OF_DAY).words())
        .isNotEqualTo(of(elsewhere, Influence.Kind.TIME_OF_DAY).words());
  }

  @Test
  void whatGoesWithTheSupplyIsTold() {
    IntToDoubleFunction volts = noise(3);
    Series supply = series("mains voltage", Unit.VOLT, i -> 230 + volts.applyAsDouble(i));
    double[] was = supply.values();
    Random random = new Random(SEED + 1);
    List<Influence> found =
        influences(
            series(
                "cathode voltage",
                Unit.VOLT,
                i -> 8.5 + 0.04 * (was[i] - 230) + 0.02 * random.nextGaussian()),
            supply);
    Influence line = of(found, Influence.Kind.SUPPLY);
    assertThat(line.isClear()).isTrue();
    assertThat(line.words()).matches("moves by (39|40|41)(\\.[0-9]+)? mV a volt of mains voltage");
  }

  @Test
  void groupsOfUnitsInARow() {
    Series gain = series("gain", Unit.DECIBEL, i -> i);
    assertThat(SeriesReport.subgroups(gain, 5).means()).hasSize(8).startsWith(2.0, 7.0);
    assertThat(SeriesReport.subgroups(gain, 7).means()).as("five are left over").hasSize(5);
    assertThat(SeriesReport.subgroups(gain, 30)).as("one group only").isNull();
    assertThat(SeriesReport.subgroups(gain, 0)).as("not asked for").isNull();
  }
}
