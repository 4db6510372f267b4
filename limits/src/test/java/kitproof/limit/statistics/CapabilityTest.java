package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against worked examples and SciPy; sources stand in the file. */
class CapabilityTest {
  private static final String FILE = "capability_examples.csv";

  private static double computed(String example, String name) {
    return Reference.value(FILE, example, "computed", name);
  }

  @ParameterizedTest
  @CsvSource({"chou_50,0.8,2.4", "cano_ca,740,760"})
  void examplesWithData(String example, double low, double high) {
    Summary summary = Summary.of(Reference.data(FILE, example));
    assertThat(summary.mean()).isCloseTo(computed(example, "mean"), within(1e-8));
    assertThat(summary.standardDeviation()).isCloseTo(computed(example, "sd"), within(1e-9));
    Capability capability = Capability.of(summary, low, high, 0.95);
    assertThat(capability.cp()).isCloseTo(computed(example, "Cp"), within(1e-8));
    assertThat(capability.cpk()).isCloseTo(computed(example, "Cpk"), within(1e-8));
    assertThat(capability.cpBounds().low()).isCloseTo(computed(example, "Cp_lcl"), within(1e-7));
    assertThat(capability.cpBounds().high()).isCloseTo(computed(example, "Cp_ucl"), within(1e-7));
    assertThat(capability.cpkBounds().low())
        .isCloseTo(computed(example, "Cpk_lcl_bissell_n-1"), within(1e-8));
    assertThat(capability.cpkBounds().high())
        .isCloseTo(computed(example, "Cpk_ucl_bissell_n-1"), within(1e-8));
    assertThat(capability.cpkAtLeast(0.95))
        .isCloseTo(computed(example, "Cpk_lower_onesided_bissell"), within(1e-8));
  }

  /** The published 90 % interval for the gain of 75 telephone amplifiers, limits 4 and 6 dB. */
  @Test
  void thePublishedIntervalOfAmplifierGains() {
    String amplifiers = "telephone_amplifiers";
    Summary summary = Summary.of(Reference.data(FILE, amplifiers));
    Interval bounds = Capability.of(summary, 4.0, 6.0, 0.9).cpkBounds();
    assertThat(bounds.low())
        .isCloseTo(Reference.value(FILE, amplifiers, "published", "Cpk_lcl90"), within(5e-4));
    assertThat(bounds.high())
        .isCloseTo(Reference.value(FILE, amplifiers, "published", "Cpk_ucl90"), within(5e-4));
  }

  /** NIST/SEMATECH e-Handbook 6.1.6: 8 to 20, mean 16, standard deviation 2. */
  @Test
  void theHandbooksExample() {
    Summary summary = new Summary(50, 16, 2, 10, 16, 22);
    Capability both = Capability.of(summary, 8.0, 20.0, 0.95);
    assertThat(both.cp()).isCloseTo(1.0, within(1e-12));
    assertThat(both.cpk()).isCloseTo(0.6667, within(5e-5));
    assertThat(both.cpkBounds().low()).isCloseTo(0.5055513132, within(1e-9));
    assertThat(Capability.of(summary, null, 20.0, 0.95).cpk()).isCloseTo(0.6667, within(5e-5));
    Capability lower = Capability.of(summary, 8.0, null, 0.95);
    assertThat(lower.cpk()).isCloseTo(1.3333, within(5e-5));
    assertThat(lower.cp()).isNull();
    assertThat(lower.cpBounds()).isNull();
  }

  @Test
  void refusesWhatTellsNothing() {
    Summary flat = Summary.of(1, 1);
    assertThatThrownBy(() -> Capability.of(flat, 0.0, 2.0, 0.95)).hasMessageContaining("the same");
    Summary some = Summary.of(1, 2);
    assertThatThrownBy(() -> Capability.of(some, null, null, 0.95)).hasMessageContaining("limit");
    assertThatThrownBy(() -> Capability.of(some, 2.0, 1.0, 0.95)).hasMessageContaining("below");
  }

  /** Clopper and Pearson by SciPy's beta distribution. */
  @ParameterizedTest
  @CsvSource({"10,10", "9,10", "19,20", "24,24", "22,24", "29,30", "47,50", "96,100"})
  void boundsOfAYield(int good, int of) {
    Interval bounds = new Yield(good, of).bounds(0.95);
    String example = "yield_clopper_pearson95";
    String name = good + "_of_" + of;
    assertThat(bounds.low()).isCloseTo(computed(example, "lower_" + name), within(1e-8));
    assertThat(bounds.high()).isCloseTo(computed(example, "upper_" + name), within(1e-8));
    Interval bad = new Yield(of - good, of).bounds(0.95);
    assertThat(bad.low()).as("mirrored").isCloseTo(1 - bounds.high(), within(1e-8));
  }
}
