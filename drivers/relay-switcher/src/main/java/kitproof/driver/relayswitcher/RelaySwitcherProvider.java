package kitproof.driver.relayswitcher;

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
import kitproof.driver.RelayBoard;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.driver.serial.LineSettings;
import kitproof.driver.serial.SerialPorts;
import kitproof.value.Problem;

/** The door of the driver; see its README for wiring and examples. */
public final class RelaySwitcherProvider implements DriverProvider {
  @Override
  public DriverDescription describe() {
    List<Setting> settings = new ArrayList<>(LineSettings.DESCRIPTION);
    settings.addAll(BoardSettings.DESCRIPTION);
    return new DriverDescription(
        "relay-switcher",
        "A relay board that speaks Modbus RTU (coils) or SCPI (ROUTe:CLOSe, ROUTe:OPEN).",
        Set.of(InstrumentKind.SWITCHER),
        settings);
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    BoardSettings read = BoardSettings.read(settings);
    List<Problem> problems = new ArrayList<>(settings.problems());
    problems.addAll(read.missing(settings, routes));
    return problems;
  }

  @Override
  public List<String> claims(InstrumentKind kind, Settings settings) {
    return List.of(settings.text("line"));
  }

  @Override
  public Optional<Duration> answerTime(Settings settings) {
    return Optional.of(BoardSettings.read(settings).timeout());
  }

  @Override
  public List<String> cautions(InstrumentKind kind, Settings settings) {
    BoardSettings read = BoardSettings.read(settings);
    if (read.watchdog() != null) {
      return List.of();
    }
    String stays =
        "relays that are energised when the program is killed stay so until its next start or the"
            + " emergency stop";
    return List.of(
        read.scpi() == null
            ? "no watchdog is set: " + stays + "; name the board's own watchdog if it has one"
            : "SCPI has no watchdog: " + stays);
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    BoardSettings read = BoardSettings.read(settings);
    settings.requireSound();
    RelayBoard board = read.open(read.line().conversation(context.clock()));
    return RouteSwitcher.open(
        new AskedAgain(board, context::notice, context::isSafeStateWaiting),
        context.routes(),
        context.clock());
  }

  @Override
  public List<String> present() {
    return SerialPorts.present();
  }
}
