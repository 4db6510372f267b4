package kitproof.run;

import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.MeterCorrection;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.value.Quantity;

/**
 * A meter whose readings are true ones, as far as its certificate says what is to be taken out of
 * them. Interlocks watch what the meter shows: a slip in a calibration file must not blind them.
 */
final class CorrectedMeter implements Meter {
  private final Meter meter;
  private final String role;
  private final Calibration calibration;

  private CorrectedMeter(Meter meter, String role, Calibration calibration) {
    this.meter = meter;
    this.role = role;
    this.calibration = calibration;
  }

  /** The same meter where the bench is not calibrated. */
  static Meter over(Meter meter, String role, Optional<Calibration> calibration) {
    return calibration.<Meter>map(c -> new CorrectedMeter(meter, role, c)).orElse(meter);
  }

  /** A reading as its meter's certificate corrects it. */
  static Reading corrected(
      Reading reading, String role, String function, Optional<Calibration> calibration) {
    Optional<MeterCorrection> correction = calibration.flatMap(c -> c.correction(role, function));
    return correction.isPresent() && reading instanceof Reading.Value value
        ? new Reading.Value(
            Quantity.of(correction.get().of(value.quantity().value()), value.quantity().unit()))
        : reading;
  }

  @Override
  public List<MeterFunction> functions() {
    return meter.functions();
  }

  @Override
  public Reading read(String function) throws InstrumentException {
    return corrected(meter.read(function), role, function, Optional.of(calibration));
  }

  @Override
  public Identity identity() {
    return meter.identity();
  }

  @Override
  public void makeSafe() throws InstrumentException {
    meter.makeSafe();
  }

  @Override
  public void close() throws InstrumentException {
    meter.close();
  }
}
