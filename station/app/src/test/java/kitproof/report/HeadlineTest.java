package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class HeadlineTest {
  private static RunRecord record(Measurement... measurements) {
    List<Event> events = new ArrayList<>();
    events.add(
        new Event.RunStarted(
            "r",
            "",
            "",
            "u",
            "",
            "p",
            "A",
            "plan",
            Map.of(),
            List.of(new Event.PlannedStep("s", Conditions.NONE, Duration.ZERO))));
    events.add(new Event.StepStarted(0, "s", "gain", Conditions.NONE));
    for (Measurement measurement : measurements) {
      events.add(
          new Event.ResultJudged(
              0, measurement, new Judgement(Judgement.Outcome.NOT_JUDGED, null, "no limit")));
    }
    List<Entry> entries = new ArrayList<>();
    events.forEach(e -> entries.add(new Entry("r", entries.size(), Instant.EPOCH, e)));
    return RunRecord.of(entries);
  }

  private static Measurement gain(double db, String... conditions) {
    Conditions all = Conditions.NONE;
    for (int i = 0; i < conditions.length; i += 2) {
      all = all.with(conditions[i], conditions[i + 1]);
    }
    return Measurement.of("gain", all, Quantity.of(db, Unit.DECIBEL));
  }

  private static List<String> texts(Headline.Row row) {
    return row.cells().stream().map(Headline.Cell::text).toList();
  }

  @Test
  void channelsStandSideBySideWithinModes() {
    Headline headline =
        Headline.of(
            record(
                gain(27.2, "mode", "ultralinear", "tap", "8 ohm", "channel", "left"),
                gain(27.1, "mode", "ultralinear", "tap", "8 ohm", "channel", "right"),
                gain(26, "mode", "triode", "tap", "8 ohm", "channel", "left")));
    assertThat(headline.modes()).containsExactly("ultralinear", "triode");
    assertThat(headline.channels()).containsExactly("left", "right");
    assertThat(texts(headline.rows().get(0)))
        .containsExactly("27.2\u00a0dB", "27.1\u00a0dB", "26.0\u00a0dB", "");
  }

  @Test
  void ofTapsMeasuredAlikeTheOneInTheMiddleIsTold() {
    Headline headline =
        Headline.of(
            record(gain(24, "tap", "4 ohm"), gain(30, "tap", "16 ohm"), gain(27, "tap", "8 ohm")));
    assertThat(headline.tap()).isEqualTo("8 ohm");
    assertThat(texts(headline.rows().get(0))).containsExactly("27.0\u00a0dB");
  }

  @Test
  void theTapThatWasMeasuredMostIsTold() {
    Headline headline =
        Headline.of(
            record(
                gain(24, "tap", "4 ohm", "channel", "left"),
                gain(24, "tap", "4 ohm", "channel", "right"),
                gain(27, "tap", "8 ohm", "channel", "left")));
    assertThat(headline.tap()).isEqualTo("4 ohm");
  }

  @Test
  void thdPlusNoiseIsTheOneAtOneWatt() {
    Headline headline =
        Headline.of(
            record(
                Measurement.of(
                    "thd+n", Conditions.of("power", "10 W"), Quantity.of(1.3, Unit.PERCENT)),
                Measurement.of(
                    "thd+n",
                    Conditions.of("power", "1 W").with("frequency", "1 kHz"),
                    Quantity.of(0.17, Unit.PERCENT))));
    assertThat(headline.rows()).hasSize(1);
    assertThat(headline.rows().get(0).label()).isEqualTo("THD + noise at 1\u00a0W");
    assertThat(headline.rows().get(0).note()).isEqualTo("1\u00a0kHz");
    assertThat(texts(headline.rows().get(0))).containsExactly("0.170\u00a0%");
  }

  @Test
  void aFigureAtAFrequencySaysAtWhich() {
    Headline headline =
        Headline.of(
            record(
                Measurement.of(
                    "output impedance at 1 kHz", Conditions.NONE, Quantity.of(0.85, Unit.OHM)),
                Measurement.of(
                    "output impedance at 20 Hz", Conditions.NONE, Quantity.of(1.2, Unit.OHM)),
                Measurement.of(
                    "power at 1 %",
                    Conditions.of("band", "20 Hz..20 kHz"), Quantity.of(12.3, Unit.WATT))));
    assertThat(headline.rows())
        .extracting(Headline.Row::label)
        .containsExactly(
            "Output power at 1\u00a0% THD + noise",
            "Output impedance at 1\u00a0kHz", "Output impedance at 20\u00a0Hz");
    assertThat(texts(headline.rows().get(1))).containsExactly("850\u00a0m\u03a9");
  }

  @Test
  void whatSeveralRowsShareIsToldOnce() {
    Conditions tone = Conditions.of("frequency", "1 kHz");
    Headline headline =
        Headline.of(
            record(
                gain(27, "frequency", "1 kHz", "power", "1 W"),
                Measurement.of("input sensitivity", tone, Quantity.of(0.28, Unit.VOLT)),
                Measurement.of("hum", Conditions.NONE, Quantity.of(-85, Unit.DECIBEL_VOLT))));
    assertThat(headline.tone()).isEqualTo("1 kHz");
    assertThat(headline.rows()).extracting(Headline.Row::note).containsExactly("1\u00a0W", "", "");
  }

  @Test
  void figuresOfDifferentConditionsAreRowsOfTheirOwn() {
    Headline headline =
        Headline.of(record(gain(27, "frequency", "1 kHz"), gain(26, "frequency", "20 kHz")));
    assertThat(headline.tone()).isEmpty();
    assertThat(headline.rows())
        .extracting(Headline.Row::note)
        .containsExactly("1\u00a0kHz", "20\u00a0kHz");
  }

  @Test
  void aFigureOfAllChannelsStandsUnderItsMode() {
    Headline headline =
        Headline.of(
            record(
                gain(27, "mode", "ultralinear", "channel", "left"),
                gain(27, "mode", "ultralinear", "channel", "right"),
                gain(26, "mode", "triode", "channel", "left"),
                Measurement.of(
                    "channel balance at 1 kHz",
                    Conditions.of("mode", "ultralinear").with("channel", "both"),
                    Quantity.of(-0.004432, Unit.DECIBEL))));
    assertThat(headline.channels()).containsExactly("left", "right");
    assertThat(headline.rows().get(1).cells())
        .containsExactly(new Headline.Cell("0.00\u00a0dB", 2), new Headline.Cell("", 2));
  }

  @ParameterizedTest
  @CsvSource({
    "none;A;ITU-R 468 rms, A-weighted",
    "none;ITU-R 468 rms, unweighted",
    "ITU-R 468 rms, ITU-R 468 rms"
  })
  void ofSeveralWeightingsTheOneThatFollowsTheEarIsTold(String weightings, String note) {
    Measurement[] noise =
        Arrays.stream(weightings.split(";", -1))
            .map(
                weighting ->
                    Measurement.of(
                        "noise",
                        Conditions.of("weighting", weighting),
                        Quantity.of(-80, Unit.DECIBEL_VOLT)))
            .toArray(Measurement[]::new);
    assertThat(Headline.of(record(noise)).rows())
        .extracting(Headline.Row::note)
        .containsExactly(note);
  }

  @ParameterizedTest
  @CsvSource({
    "0.004432, 0.00",
    "-0.004432, 0.00",
    "-0.556, \u22120.56",
    "0.9999, 1.00",
    "27.216, 27.2",
    "9.996, 10.0"
  })
  void levelsHaveUsefulDigits(double level, String text) {
    assertThat(texts(Headline.of(record(gain(level))).rows().get(0)))
        .containsExactly(text + "\u00a0dB");
  }

  @Test
  void anInvalidFigureIsNoNumber() {
    Headline headline =
        Headline.of(record(Measurement.invalid("gain", Conditions.NONE, "clipped")));
    assertThat(texts(headline.rows().get(0))).containsExactly("invalid");
  }

  @Test
  void aRecordWithoutSuchFiguresHasNoRows() {
    assertThat(Headline.of(record()).rows()).isEmpty();
  }
}
