package kitproof.driver.serialmeter;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.driver.serial.LineSettings;
import kitproof.driver.serial.ScpiSettings;
import kitproof.driver.serial.SerialPorts;
import kitproof.value.Problem;
import kitproof.value.Unit;

/** The door of the driver; see its README for wiring and examples. */
public final class SerialMeterProvider implements DriverProvider {
  @Override
  public DriverDescription describe() {
    List<Setting> settings = new ArrayList<>(LineSettings.DESCRIPTION);
    settings.addAll(ScpiSettings.DESCRIPTION);
    settings.addAll(MeterSettings.DESCRIPTION);
    return new DriverDescription(
        "serial-meter",
        "A multimeter that speaks SCPI over a serial port or a TCP connection.",
        Set.of(InstrumentKind.METER),
        settings);
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    MeterSettings.read(settings);
    return settings.problems();
  }

  @Override
  public List<String> claims(InstrumentKind kind, Settings settings) {
    return List.of(settings.text("line"));
  }

  @Override
  public Optional<Unit> unit(Settings settings, String function) {
    return Optional.ofNullable(MeterSettings.read(settings).functions().get(function))
        .map(MeterSettings.Function::unit);
  }

  @Override
  public Optional<Duration> readingTime(Settings settings, String function) {
    return MeterSettings.read(settings).readingTime(function);
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    MeterSettings read = MeterSettings.read(settings);
    settings.requireSound();
    return SerialMeter.open(read.line().conversation(context.clock()), read);
  }

  @Override
  public List<String> present() {
    return SerialPorts.present();
  }
}
