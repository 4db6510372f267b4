package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.DoubleUnaryOperator;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement.Outcome;
import kitproof.peer.Mosquitto.Received;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/**
 * What a run must measure, as the entries of its limit file: the program itself judges whether what
 * came back is near what is known.
 */
final class Expected {
  private final StringBuilder entries = new StringBuilder();
  private final Set<String> names = new TreeSet<>();

  /** A figure that may be off by so much. */
  Expected near(String name, String when, double value, double off, String unit) {
    return between(name, when, value - off, value + off, unit);
  }

  /** A figure under conditions such as "device: inverter", or "". */
  Expected between(String name, String when, double low, double high, String unit) {
    names.add(name);
    entries.append(
        String.format(
            Locale.ROOT,
            "  - {result: \"%s\", when: {%s}, low: \"%s\", high: \"%s\"}%n",
            name,
            when,
            quantity(low, unit),
            quantity(high, unit)));
    return this;
  }

  /** A curve within this of a known one at these places, which are joined by straight lines. */
  Expected curve(
      String name,
      String when,
      String xUnit,
      double[] xs,
      DoubleUnaryOperator known,
      double off,
      String unit) {
    names.add(name);
    entries.append(
        String.format(Locale.ROOT, "  - result: \"%s\"%n    when: {%s}%n    mask:%n", name, when));
    for (double x : xs) {
      double value = known.applyAsDouble(x);
      entries.append(
          String.format(
              Locale.ROOT,
              "      - {at: \"%s\", low: \"%s\", high: \"%s\"}%n",
              quantity(x, xUnit),
              quantity(value - off, unit),
              quantity(value + off, unit)));
    }
    return this;
  }

  /** A curve that stays below a known one, which joins these places by straight lines. */
  Expected below(String name, String xUnit, double[] xs, DoubleUnaryOperator highest, String unit) {
    names.add(name);
    entries.append(String.format(Locale.ROOT, "  - result: \"%s\"%n    mask:%n", name));
    for (double x : xs) {
      entries.append(
          String.format(
              Locale.ROOT,
              "      - {at: \"%s\", high: \"%s\"}%n",
              quantity(x, xUnit),
              quantity(highest.applyAsDouble(x), unit)));
    }
    return this;
  }

  private static String quantity(double value, String unit) {
    return String.format(Locale.ROOT, "%.7f %s", value, unit).strip();
  }

  String limits() {
    return entries.toString();
  }

  /**
   * Every result of the record was judged and passes, is told on the console and by MQTT.
   *
   * <p>Without a limit may be only what a known device does not have, such as an upper corner of a
   * high-pass, and only if the same result is judged on another device of the run.
   */
  void assertToldEverywhere(RunRecord record, String printed, List<Received> received) {
    Set<String> judged = new TreeSet<>();
    for (RunRecord.Step step : record.steps()) {
      for (RunRecord.Result result : step.results()) {
        Measurement measurement = result.measurement();
        if (result.judgement().outcome() == Outcome.NOT_JUDGED) {
          assertThat(measurement.figure()).as("%s", result).isInstanceOf(Figure.Invalid.class);
          assertThat(names).contains(measurement.name());
          continue;
        }
        assertThat(result.judgement().outcome()).as("%s", result).isEqualTo(Outcome.PASS);
        judged.add(measurement.name());
        assertThat(printed).contains(" " + measurement.name());
        assertThat(received)
            .as("%s", result)
            .anyMatch(
                message ->
                    message.topic().endsWith("/result")
                        && message.payload().contains("\"" + measurement.name() + "\"")
                        && message.payload().toLowerCase(Locale.ROOT).contains("\"pass\""));
      }
    }
    assertThat(judged).isEqualTo(names);
  }
}
