package kitproof.driver.simulated;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.LiveValue;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Switcher;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A person made of code, on the unit that the meters see. */
class SimulatedOperatorTest {
  private final Roles roles = new Roles("LN12-001");

  private static Question adjustment(String control, double low, double high) {
    QuantityRange window =
        new QuantityRange(Quantity.of(low, Unit.VOLT), Quantity.of(high, Unit.VOLT));
    return new Question.Adjustment("turn", "", control, window, Duration.ofSeconds(3));
  }

  /** Shows what the meter reads every quarter of a second; returns seconds until it has settled. */
  private double adjust(Operator operator, Meter meter, double low, double high) throws Exception {
    Duration settled = Duration.ZERO;
    long start = roles.clock.nanos();
    while (settled.compareTo(Duration.ofSeconds(3)) < 0 && operator.answer().isEmpty()) {
      double volts = Roles.value(meter, "dc");
      boolean inside = volts >= low && volts <= high;
      settled = inside ? settled.plusMillis(250) : Duration.ZERO;
      operator.show(new LiveValue(Optional.of(Quantity.of(volts, Unit.VOLT)), "", inside, settled));
      roles.clock.sleep(Duration.ofMillis(190));
      assertThat(roles.clock.nanos() - start).isLessThan(60_000_000_000L);
    }
    return (roles.clock.nanos() - start) / 1e9;
  }

  @ParameterizedTest
  @CsvSource({"8.6, 9.0", "8.0, 8.2", "9.4, 9.7"})
  void turnsTheTrimmerUntilTheCathodeIsWhereItShouldBe(double low, double high) throws Exception {
    try (Switcher switcher = roles.switcher();
        Meter meter = roles.meter();
        Operator operator = roles.operator()) {
      switcher.select("mains direct");
      roles.clock.sleep(Duration.ofSeconds(60));
      operator.ask(adjustment("bias", low, high));
      assertThat(adjust(operator, meter, low, high)).isLessThan(25);
      assertThat(operator.answer()).isEmpty();
      assertThat(Roles.value(meter, "dc")).isBetween(low, high);
    }
  }

  @Test
  void givesUpAtTheEndOfTheTrimmer() throws Exception {
    try (Switcher switcher = roles.switcher();
        Meter meter = roles.meter();
        Operator operator = roles.operator()) {
      switcher.select("mains direct");
      roles.clock.sleep(Duration.ofSeconds(60));
      operator.ask(adjustment("bias", 3, 4));
      adjust(operator, meter, 3, 4);
      assertThat(operator.answer()).contains(new Answer.Declined("bias is at its end"));
    }
  }

  @Test
  void declinesWhatIsNotOnThisBench() throws Exception {
    try (Operator operator = roles.operator()) {
      operator.ask(adjustment("volume", 3, 4));
      assertThat(operator.answer())
          .contains(new Answer.Declined("there is no volume on this bench"));
      operator.ask(entry("glow"));
      roles.clock.sleep(Duration.ofSeconds(2));
      assertThat(operator.answer())
          .contains(new Answer.Declined("there is no glow to be seen on this bench"));
    }
  }

  @Test
  void confirmsAndReadsAfterAMomentsThought() throws Exception {
    try (Switcher switcher = roles.switcher();
        Operator operator = roles.operator()) {
      operator.ask(new Question.Confirm("close the cover", ""));
      assertThat(operator.answer()).isEmpty();
      roles.clock.sleep(Duration.ofSeconds(2));
      assertThat(operator.answer()).contains(new Answer.Done());
      operator.makeSafe();
      assertThat(operator.answer()).isEmpty();

      switcher.select("mains direct");
      roles.clock.sleep(Duration.ofSeconds(30));
      operator.ask(entry("hv by eye"));
      roles.clock.sleep(Duration.ofSeconds(2));
      Answer.Value read = (Answer.Value) operator.answer().orElseThrow();
      assertThat(read.quantity().in(Unit.VOLT)).isCloseTo(332, within(10.0));
    }
  }

  private static Question entry(String name) {
    return new Question.Entry("read", "", name, QuantityRange.parse("0 V..600 V", Unit.VOLT));
  }
}
