package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.document.Parsed;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeMeter;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

class CorrectedMeterTest {
  private static final String FILE =
      """
      bench: b
      date: 2026-11-26
      instruments:
        hv-meter:
          corrections: [{function: hv, gain: 0.995, offset: 0.2 V}]
      """;

  private static Calibration calibration(String text) {
    return Calibration.read("c.yaml", text).value();
  }

  @Test
  void aReadingIsCorrectedOnceAndSoIsToldInTheRecord() throws Exception {
    Calls calls = new Calls(new SimulatedClock(Instant.EPOCH));
    FakeMeter raw =
        new FakeMeter(calls, "hv-meter")
            .readings(
                "hv",
                Unit.VOLT,
                new Reading.Value(Quantity.of(400, Unit.VOLT)),
                new Reading.Overload(false))
            .function("other", Unit.VOLT, 7.0);
    Meter meter = CorrectedMeter.over(raw, "hv-meter", Optional.of(calibration(FILE)));
    assertThat(meter.read("hv")).hasToString("Value[quantity=398.2 V]");
    assertThat(meter.read("hv")).isEqualTo(new Reading.Overload(false));
    assertThat(meter.read("other")).isEqualTo(new Reading.Value(Quantity.of(7, Unit.VOLT)));
    assertThat(CorrectedMeter.over(raw, "hv-meter", Optional.empty())).isSameAs(raw);
    assertThat(Standing.calibrated(calibration(FILE)).told())
        .anyMatch(line -> line.contains("hv-meter hv ×0.995 +0.2"));
  }

  @Test
  void aCorrectionThatCouldHideDangerIsRefused() {
    Parsed<Calibration> offset =
        Calibration.read("c.yaml", FILE.replace("offset: 0.2 V", "offset: -60 V"));
    assertThat(offset.problems())
        .singleElement()
        .asString()
        .contains("c.yaml:5", "an offset of -60 V", "needs repair");
    assertThat(Calibration.read("c.yaml", FILE.replace("0.995", "0.5")).isSound()).isFalse();
  }
}
