package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/**
 * Sums of squares by hand (JCGM 100:2008, 5.1.2; a rectangle's half width over root three, 4.3.7).
 */
class MeterTrustTest {
  private static Uncertainty of(String corrections) {
    Calibration calibration =
        Calibration.read(
                "c.yaml",
                "bench: b\ndate: 2026-11-26\ninstruments:\n  hv-meter:\n"
                    + "    accuracy: [{function: hv, limits: \"±(1 %)\", resolution: 0.1 V}]\n"
                    + corrections)
            .value();
    Measurement measured =
        MeterTrust.of(Optional.of(calibration), "hv-meter", "hv")
            .known(Measurement.of("hv", Conditions.NONE, Quantity.of(300, Unit.VOLT)));
    return Optional.ofNullable(measured.uncertainty()).orElseThrow();
  }

  private static List<String> names(Uncertainty of) {
    return of.budget().stream().map(Contribution::name).toList();
  }

  @Test
  void whatACorrectionLeavesIsALineOfTheBudgetWhereItIsOfTheReadingsUnit() {
    double without = Math.hypot(3 / Math.sqrt(3), 0.05 / Math.sqrt(3));
    Uncertainty bare = of("");
    assertThat(bare.above(0)).isCloseTo(without, within(1e-9));
    Uncertainty with = of("    corrections: [{function: hv, gain: 1.01, u: 2 V}]\n");
    assertThat(names(with)).contains("correction of hv-meter, hv");
    assertThat(with.above(0)).isCloseTo(Math.hypot(without, 2), within(1e-9));
    Uncertainty other = of("    corrections: [{function: current, gain: 1.01, u: 2 V}]\n");
    assertThat(other.above(0)).isCloseTo(without, within(1e-9));
    Uncertainty unit = of("    corrections: [{function: hv, gain: 1.01, u: 2 A}]\n");
    assertThat(names(unit)).doesNotContain("correction of hv-meter, hv");
  }
}
