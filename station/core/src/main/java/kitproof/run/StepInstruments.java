package kitproof.run;

import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Supplier;
import kitproof.calibration.Calibration;
import kitproof.driver.AudioInterface;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Reading;
import kitproof.event.CaptureShelf;
import kitproof.procedure.StepBench;

/** The bench's instruments as one step uses them: counted in the run's times, its captures kept. */
final class StepInstruments {
  private final OpenBench bench;
  private final Routing routing;
  private final BenchClock clock;
  private final Runnable beat;
  private final Timing timing;
  private final Shelf shelf;
  private final Map<String, AudioInterface> used = new TreeMap<>();
  private PlayingBeside beside = PlayingBeside.NOTHING;

  /** Where the step's captures are put, and under which name. */
  record Shelf(CaptureShelf captures, int index, String step) {}

  /** With nothing that goes on beside signals. */
  StepInstruments(
      OpenBench bench,
      Routing routing,
      BenchClock clock,
      Runnable beat,
      Timing timing,
      Shelf shelf) {
    this.bench = bench;
    this.routing = routing;
    this.clock = clock;
    this.beat = beat;
    this.timing = timing;
    this.shelf = shelf;
  }

  /** A meter, which has just said who it is. */
  Meter meter(String role) throws InstrumentException {
    OpenInstrument meter = bench.in(role, InstrumentKind.METER);
    reading(meter::recogniseBeforeUse);
    return new Timed.TimedMeter(CorrectedMeter.over(meter.meter(), role, papers(role)), timing);
  }

  /** What the readings of a meter are corrected by, if it is the one that this is said of. */
  Optional<Calibration> papers(String role) {
    String identity = bench.identity(role);
    return routing.meters().filter(by -> by.exchanged(Map.of(role, identity)).isEmpty());
  }

  /** A reading that has no more time than this. */
  Reading read(String role, String function, Duration atMost) throws InstrumentException {
    GuardedMeter meter = bench.in(role, InstrumentKind.METER).guardedMeter();
    Reading reading = Timed.in(timing, Timing.Part.READING, () -> meter.read(function, atMost));
    return CorrectedMeter.corrected(reading, role, function, papers(role));
  }

  /**
   * Before what was read is believed: another instrument may stand where one was met.
   *
   * @throws InstrumentException PROTOCOL if one does
   */
  void recogniseMeters() throws InstrumentException {
    for (OpenInstrument meter : bench.all(InstrumentKind.METER)) {
      reading(meter::recogniseIfRead);
    }
  }

  /**
   * Before what was measured is believed: a board may have been started anew or exchanged, and has
   * let go of its relays then.
   *
   * @throws InstrumentException PROTOCOL if one is not as it was left
   */
  void recogniseSwitchers() throws InstrumentException {
    for (OpenInstrument switcher : bench.all(InstrumentKind.SWITCHER)) {
      Timed.run(timing, Timing.Part.SWITCHING, switcher::recognise);
    }
  }

  private void reading(InstrumentCalls.Action asking) throws InstrumentException {
    Timed.run(timing, Timing.Part.READING, asking);
  }

  /**
   * An interface that gives true volts and waits for loads that are hot.
   *
   * @param step in whose time they cool, and who is told
   */
  AudioInterface audio(String role, RatedAudio.Wait step) throws InstrumentException {
    Supplier<PlayingBeside> goingOn = () -> beside;
    AudioInterface bare = bench.in(role, InstrumentKind.AUDIO_INTERFACE).audio(goingOn);
    used.put(role, bare);
    // Beneath the others: cooling is counted as waiting, correcting and keeping as computing.
    AudioInterface audio = new Timed.TimedAudio(bare, timing);
    AudioInterface kept =
        shelf.captures() == CaptureShelf.NONE
            ? audio
            : new KeptAudio(audio, shelf, role, routing::loadsBy, routing::rangeNow, step::notice);
    return routing.rated(routing.corrected(role, kept), step);
  }

  /** Nothing is played for a while, or what the interfaces are connected to changes. */
  void restAudio() throws InstrumentException {
    for (AudioInterface one : used.values()) {
      Timed.run(timing, Timing.Part.INTERFACE, one::rest);
    }
  }

  /** Reads a meter while the signals of the work play. */
  <T> StepBench.Beside<T> readWhilePlaying(
      String meter, String function, Duration from, Duration every, StepBench.Work<T> work)
      throws InstrumentException, InterruptedException {
    ReadingsBeside readings =
        new ReadingsBeside(
            bench.in(meter, InstrumentKind.METER)::readBeside,
            function,
            from,
            every,
            clock,
            bench.guard().turns(),
            beat);
    beside = readings;
    try {
      T result = work.run();
      return new StepBench.Beside<>(
          result,
          readings.counting().stream()
              .map(r -> CorrectedMeter.corrected(r, meter, function, papers(meter)))
              .toList(),
          readings.longestReading(),
          readings.beyondSignal());
    } finally {
      beside = PlayingBeside.NOTHING;
    }
  }

  /** The person in this role. */
  Operator operator(String role) throws InstrumentException {
    return new Timed.TimedOperator(bench.in(role, InstrumentKind.OPERATOR).operator(), timing);
  }
}
