package faulty;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.BenchClock;
import kitproof.driver.BenchContext;
import kitproof.driver.Capture;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.LiveValue;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.RelayBoard;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Settings;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.driver.kit.FakeMeter;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.value.Problem;
import kitproof.value.Signal;
import kitproof.value.Unit;

/**
 * A plugin with the instruments of a small bench and the amplifier on it. An instrument whose
 * settings say so misbehaves once the mains is on: in every method, or in one.
 */
public final class FaultyProvider implements DriverProvider {
  /** The unit on the bench: a rail that follows the relays. */
  private static final class Amplifier {
    private final BenchClock clock;
    private final Calls calls;
    private FakeRelayBoard board;
    private double rail;
    private long railNanos;

    private Amplifier(BenchClock clock) {
      this.clock = clock;
      this.calls = new Calls(clock);
      this.board = new FakeRelayBoard(calls, "relays", Set.of());
    }

    private synchronized double rail() {
      double target = board.now().contains("K1") ? 330 : 0;
      double seconds = (clock.nanos() - railNanos) / 1e9;
      rail = target + (rail - target) * Math.exp(-seconds / (target > 0 ? 0.5 : 2));
      railNanos = clock.nanos();
      return rail;
    }
  }

  /** What an instrument does before each of its calls, from the first one with the mains on. */
  private static final class Trouble {
    private final Amplifier unit;
    private final String fault;
    private final String in;
    private volatile boolean begun;

    Trouble(Amplifier unit, String fault, String in) {
      this.unit = unit;
      this.fault = fault;
      this.in = in;
    }

    private void at(String method) {
      begun |= unit.board.now().contains("K2");
      if (!begun || !(in.equals("every method") || in.equals(method))) {
        return;
      }
      switch (fault) {
        case "throws" -> throw new IllegalStateException("a mistake in the driver");
        case "hangs" -> hang();
        case "wants memory" -> wantMemory();
        default -> {}
      }
    }

    /** Minds no interrupt. */
    private static void hang() {
      while (true) {
        try {
          Thread.sleep(1_000_000);
        } catch (InterruptedException e) {
          continue;
        }
      }
    }

    /** More than any heap of these tests has: the virtual machine itself throws. */
    private static void wantMemory() {
      long[][] captures = new long[64][];
      for (int i = 0; i < captures.length; i++) {
        captures[i] = new long[Integer.MAX_VALUE - 8];
      }
    }
  }

  /** Calls that go on, after the trouble, to an instrument that is well. */
  private abstract static class Passed implements Instrument {
    private final Instrument well;
    final Trouble trouble;

    Passed(Instrument well, Trouble trouble) {
      this.well = well;
      this.trouble = trouble;
    }

    @Override
    public Identity identity() {
      return well.identity();
    }

    @Override
    public void recognise() throws InstrumentException {
      trouble.at("recognise");
      well.recognise();
    }

    @Override
    public void makeSafe() throws InstrumentException {
      trouble.at("make safe");
      well.makeSafe();
    }

    @Override
    public void close() throws InstrumentException {
      trouble.at("close");
      well.close();
    }
  }

  private static final class FaultyMeter extends Passed implements Meter {
    private final Meter well;

    FaultyMeter(Meter well, Trouble trouble) {
      super(well, trouble);
      this.well = well;
    }

    @Override
    public List<kitproof.driver.MeterFunction> functions() {
      return well.functions();
    }

    @Override
    public kitproof.driver.Reading read(String function) throws InstrumentException {
      trouble.at("read");
      return well.read(function);
    }
  }

  private static final class FaultyAudio extends Passed implements AudioInterface {
    private final AudioInterface well;

    FaultyAudio(AudioInterface well, Trouble trouble) {
      super(well, trouble);
      this.well = well;
    }

    @Override
    public AudioPorts ports() {
      return well.ports();
    }

    @Override
    public Capture exchange(Signal stimulus) throws InstrumentException {
      trouble.at("exchange");
      return well.exchange(stimulus);
    }

    @Override
    public void rest() throws InstrumentException {
      trouble.at("rest");
      well.rest();
    }
  }

  /** A person who looks on. */
  private static final class FaultyPerson implements Operator {
    private final Trouble trouble;

    FaultyPerson(Trouble trouble) {
      this.trouble = trouble;
    }

    @Override
    public Identity identity() {
      return new Identity("", "somebody", "", "");
    }

    @Override
    public void ask(Question question) {
      trouble.at("ask");
    }

    @Override
    public Optional<Answer> answer() {
      trouble.at("answer");
      return Optional.empty();
    }

    @Override
    public void show(LiveValue value) {
      trouble.at("show");
    }

    @Override
    public void makeSafe() {
      trouble.at("make safe");
    }

    @Override
    public void close() {
      trouble.at("close");
    }
  }

  private static final class FaultyBoard implements RelayBoard {
    private final RelayBoard well;
    private final Trouble trouble;

    FaultyBoard(RelayBoard well, Trouble trouble) {
      this.well = well;
      this.trouble = trouble;
    }

    @Override
    public Identity identity() {
      return well.identity();
    }

    @Override
    public void recognise() throws InstrumentException {
      trouble.at("recognise");
      well.recognise();
    }

    @Override
    public void set(java.util.Map<String, Boolean> wanted) throws InstrumentException {
      trouble.at("set");
      well.set(wanted);
    }

    @Override
    public Set<String> energised() throws InstrumentException {
      trouble.at("read back");
      return well.energised();
    }

    @Override
    public void close() throws InstrumentException {
      trouble.at("close");
      well.close();
    }
  }

  @Override
  public DriverDescription describe() {
    return new DriverDescription(
        "faulty", "A bench that misbehaves.", Set.of(InstrumentKind.values()), List.of());
  }

  @Override
  public boolean livesInBenchTime() {
    return true;
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    String fault = settings.text("fault", "none") + settings.text("in", "nothing");
    return fault.isEmpty() ? List.of() : settings.problems();
  }

  @Override
  public Optional<Unit> unit(Settings settings, String function) {
    return function.equals("hv") ? Optional.of(Unit.VOLT) : Optional.empty();
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    Amplifier unit =
        context.shared("amplifier", Amplifier.class, () -> new Amplifier(context.clock()));
    Trouble trouble =
        new Trouble(unit, settings.text("fault", "none"), settings.text("in", "nothing"));
    Function<Signal, Signal> gain = FaultyProvider::timesTwenty;
    List<AudioPort> in = List.of(new AudioPort("left", 60), new AudioPort("right", 60));
    List<AudioPort> out = List.of(new AudioPort("left", 3), new AudioPort("right", 3));
    return switch (kind) {
      case METER ->
          new FaultyMeter(
              new FakeMeter(unit.calls, "hv-meter").function("hv", Unit.VOLT, unit::rail), trouble);
      case SWITCHER -> {
        unit.board = FakeRelayBoard.of(unit.calls, "relays", context.routes());
        yield RouteSwitcher.open(
            new FaultyBoard(unit.board, trouble), context.routes(), context.clock());
      }
      case OPERATOR -> new FaultyPerson(trouble);
      case AUDIO_INTERFACE ->
          new FaultyAudio(
              new FakeAudioInterface(
                  unit.calls, "audio", new AudioPorts(48_000, out, in), gain::apply),
              trouble);
    };
  }

  private static Signal timesTwenty(Signal stimulus) {
    double[][] out = new double[stimulus.channels()][];
    for (int i = 0; i < out.length; i++) {
      out[i] = stimulus.channel(i);
      for (int n = 0; n < out[i].length; n++) {
        out[i][n] *= 20;
      }
    }
    return Signal.of(stimulus.sampleRateHz(), out);
  }
}
