package kitproof.cause;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.limit.Judge;
import kitproof.limit.LimitFile;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The shipped table on results like those of the twelve demo units, judged by the shipped limits.
 */
class CauseFileTest {
  private static final Path FOLDER = Path.of("linnet-12");
  private static final CauseFile CAUSES =
      CauseFile.read(FOLDER.resolve(CauseFile.NAME), "Linnet 12").value();
  private static final Judge JUDGE =
      new Judge(LimitFile.read(FOLDER.resolve("revision-b.yaml")).value());

  /** "gain, channel left, tap 4 ohm = 27 dB". */
  private static Found found(String text) {
    String[] sides = text.split(" = ");
    String[] parts = sides[0].split(", ");
    Conditions conditions = Conditions.NONE;
    for (int i = 1; i < parts.length; i++) {
      String[] pair = parts[i].split(" ", 2);
      conditions = conditions.with(pair[0], pair[1]);
    }
    Measurement measurement = Measurement.of(parts[0], conditions, Quantity.parse(sides[1]));
    return new Found(measurement, JUDGE.judge(measurement));
  }

  private static List<String> told(List<Found> results) {
    return CAUSES.suggest(results).stream()
        .map(one -> one.where().isEmpty() ? one.cause() : one.where() + ": " + one.cause())
        .toList();
  }

  /** What a healthy unit measures, with these in the place of its results of the same title. */
  private static List<Found> unit(String... changed) {
    List<String> healthy =
        List.of(
            "resistance, point HV rail to chassis = 47 kohm",
            "resistance, point protective earth = 0.1 ohm",
            "mains power limited = 60 W",
            "hv ripple = 0.4 V",
            "discharge time constant = 26 s",
            "cathode voltage warm, point cathode V3 = 8.8 V",
            "cathode voltage warm, point cathode V4 = 8.8 V",
            "cathode voltage warm, point cathode V5 = 8.8 V",
            "cathode voltage warm, point cathode V6 = 8.8 V",
            "gain, mode ultralinear, tap 4 ohm, channel left = 24.3 dB",
            "gain, mode ultralinear, tap 8 ohm, channel left = 27.3 dB",
            "gain, mode ultralinear, tap 16 ohm, channel left = 30.3 dB",
            "gain, mode ultralinear, tap 4 ohm, channel right = 24.3 dB",
            "gain, mode ultralinear, tap 8 ohm, channel right = 27.3 dB",
            "gain, mode ultralinear, tap 16 ohm, channel right = 30.3 dB",
            "thd, mode ultralinear, power 1 W, channel left = 0.1 %",
            "thd, mode ultralinear, power 1 W, channel right = 0.1 %",
            "thd+n, mode ultralinear, power 1 W, channel left = 0.12 %",
            "thd+n, mode ultralinear, power 1 W, channel right = 0.12 %",
            "harmonic 2, mode ultralinear, power 1 W, channel left = -70 dB",
            "harmonic 2, mode ultralinear, power 10 W, channel left = -55 dB",
            "harmonic 2, mode ultralinear, power 1 W, channel right = -70 dB",
            "harmonic 2, mode ultralinear, power 10 W, channel right = -55 dB",
            "hum, channel left = -80 dBV",
            "hum 50 Hz, channel left = -85 dBV",
            "hum 100 Hz, channel left = -82 dBV",
            "hum, channel right = -80 dBV",
            "hum 50 Hz, channel right = -85 dBV",
            "hum 100 Hz, channel right = -82 dBV",
            "polarity, channel left = 1",
            "polarity, channel right = 1",
            "stray line, channel left = -80 dBV",
            "stray line, channel right = -80 dBV");
    List<Found> results = new ArrayList<>();
    for (String one : healthy) {
      String title = one.split(" = ")[0];
      String text = one;
      for (String other : changed) {
        text = other.startsWith(title + " = ") ? other : text;
      }
      results.add(found(text));
    }
    return results;
  }

  @Test
  void aHealthyUnitIsSuspectedOfNothing() {
    assertThat(unit()).allMatch(one -> !one.judgement().outcome().fails());
    assertThat(told(unit())).isEmpty();
  }

  @Test
  void aSecondHarmonicThatIsUpAtEveryPowerPointsToTheOutputValvesOfItsChannel() {
    String low = "harmonic 2, mode ultralinear, power 1 W, channel left = -50 dB";
    String high = "harmonic 2, mode ultralinear, power 10 W, channel left = -40 dB";
    assertThat(told(unit(low, high)))
        .singleElement()
        .asString()
        .startsWith("channel left: Unequal output valves");
    assertThat(told(unit(low))).as("at one power only").isEmpty();
    assertThat(CAUSES.suggest(unit(low, high)).get(0).because())
        .containsExactly(
            "harmonic 2 (mode ultralinear, power 1 W, channel left)",
            "harmonic 2 (mode ultralinear, power 10 W, channel left)");
  }

  @Test
  void hundredHertzWithoutFiftyIsSmoothingAndFiftyIsWiring() {
    assertThat(told(unit("hum, channel right = -66 dBV", "hum 100 Hz, channel right = -67 dBV")))
        .singleElement()
        .asString()
        .startsWith("channel right: Smoothing, not wiring");
    assertThat(told(unit("hum, channel right = -66 dBV", "hum 50 Hz, channel right = -67 dBV")))
        .singleElement()
        .asString()
        .startsWith("channel right: Mains hum gets in");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "gain, mode ultralinear, tap 4 ohm, channel left = 27.4 dB;"
            + "gain, mode ultralinear, tap 8 ohm, channel left = 24.1 dB;"
            + "channel left: The wires of the 4 ohm and the 8 ohm tap are exchanged",
        "hv ripple = 2 V; discharge time constant = 12 s;"
            + "A smoothing capacitor has lost capacitance",
        "cathode voltage warm, point cathode V5 = 11 V; x;"
            + "point cathode V5: A coupling capacitor leaks",
        "stray line, channel left = -20 dBV;"
            + "thd+n, mode ultralinear, power 1 W, channel left = 2 %;"
            + "channel left: Oscillation above the audio band",
        "resistance, point protective earth = 3 ohm; x; Protective earth is not well connected",
        "discharge time constant = 90 s; x; The bleeder is open",
        "polarity, channel right = -1; x; channel right: A winding or the feedback",
      })
  void aPatternPointsToItsCause(String one, String other, String cause) {
    assertThat(told(unit(one, other))).singleElement().asString().startsWith(cause);
  }

  /** Levels alone may be exchanged by a mistake in the feedback; then the impedances are not. */
  @Test
  void tapsAreExchangedOnlyIfNoImpedanceSpeaksAgainstIt() {
    List<Found> levels =
        unit(
            "gain, mode ultralinear, tap 4 ohm, channel left = 27.4 dB",
            "gain, mode ultralinear, tap 8 ohm, channel left = 24.1 dB");
    String exchanged = "channel left: The wires of the 4 ohm and the 8 ohm tap are exchanged";
    for (String[] ohms :
        new String[][] {{"1.1", "0.55", exchanged}, {"0.55", "1.1", ""}, {"1.1", "1.1", ""}}) {
      List<Found> all = new ArrayList<>(levels);
      String of = "output impedance at 1 kHz, mode ultralinear, channel left, tap ";
      all.add(found(of + "4 ohm = " + ohms[0] + " ohm"));
      all.add(found(of + "8 ohm = " + ohms[1] + " ohm"));
      List<String> told =
          told(all).stream().filter(one -> one.contains("tap are exchanged")).toList();
      if (ohms[2].isEmpty()) {
        assertThat(told).as("4 ohm tap %s ohm, 8 ohm tap %s ohm", ohms[0], ohms[1]).isEmpty();
      } else {
        assertThat(told).singleElement().asString().startsWith(ohms[2]);
      }
    }
  }

  @Test
  void gainAndDistortionBothUpIsTooLittleFeedback() {
    assertThat(
            told(
                unit(
                    "gain, mode ultralinear, tap 4 ohm, channel right = 30 dB",
                    "gain, mode ultralinear, tap 8 ohm, channel right = 33 dB",
                    "gain, mode ultralinear, tap 16 ohm, channel right = 36 dB",
                    "thd, mode ultralinear, power 1 W, channel right = 0.9 %")))
        .singleElement()
        .asString()
        .startsWith("channel right: Too little feedback");
  }

  @Test
  void aShortIsSeenInTheCurvesOfTheRise() {
    List<Found> results = new ArrayList<>();
    double[] seconds = {0, 1, 2, 2.2};
    Measurement rail =
        Measurement.of(
            "supply rise",
            Conditions.NONE,
            Curve.of(Unit.SECOND, seconds, Unit.VOLT, new double[] {0, 3, 5, 5}));
    Measurement power =
        Measurement.of(
            "mains power rise",
            Conditions.NONE,
            Curve.of(Unit.SECOND, seconds, Unit.WATT, new double[] {0, 180, 180, 180}));
    results.add(new Found(rail, JUDGE.judge(rail)));
    results.add(new Found(power, JUDGE.judge(power)));
    assertThat(told(results))
        .singleElement()
        .asString()
        .startsWith("A shorted smoothing capacitor");
  }

  @Test
  void aResultWithoutAFigureIsNeitherHighNorLow() {
    Measurement invalid =
        Measurement.invalid("hv ripple", Conditions.NONE, "the meter gave no number");
    assertThat(CAUSES.suggest(List.of(new Found(invalid, JUDGE.judge(invalid))))).isEmpty();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "product: Linnet 12|product: Finch|:2:10: found product \"Finch\"; expected \"Linnet 12\"",
        "is: too high|is: too hihg|did you mean \"too high\"?",
        "signs:|sings:|did you mean \"signs\"?",
        "is: too high|is: too high, above: 3 V|beside above or below",
        "is: too high|above: 3 V, below: 4 W|\"4 W\"",
        "result: hv|reslut: hv|did you mean \"result\"?",
      })
  void whatIsWrongIsToldWithItsPlace(String right, String wrong, String told) {
    String text =
        """
        causes: c
        product: Linnet 12
        probable:
          - cause: something
            signs:
              - {result: hv, is: too high}
        """;
    assertThat(CauseFile.read("causes.yaml", text, "Linnet 12").isSound()).isTrue();
    assertThat(text).contains(right);
    assertThat(
            CauseFile.read("causes.yaml", text.replaceFirst(right, wrong), "Linnet 12").problems())
        .anySatisfy(p -> assertThat(p.toString()).contains("causes.yaml:").contains(told));
  }
}
