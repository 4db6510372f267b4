package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.limit.LimitFile;
import org.junit.jupiter.api.Test;

/** A run whose instruments all work. */
class SequencerTest {
  private final FakeStation station = new FakeStation();

  @Test
  void theSmallPlanHasNothingWrongAndAGoodUnitPasses() throws Exception {
    assertThat(
            Preflight.check(
                station.plan(),
                station.bench(),
                LimitFile.read("limits.yaml", station.limits).value(),
                station.drivers()))
        .isEmpty();
    assertThat(station.run()).isEqualTo(Verdict.PASS);
    Invariants.check(station, "good unit");
    assertThat(station.events(Event.RunEnded.class))
        .containsExactly(new Event.RunEnded(Verdict.PASS, "", List.of()));
  }

  @Test
  void theRailIsToldWhileItFallsAndNoMoreOnceTheUnitIsSafeToOpen() throws Exception {
    station.run();
    List<Double> volts =
        station.events(Event.RailRead.class).stream().map(e -> e.rail().value()).toList();
    assertThat(volts.get(0)).isBetween(320.0, 340.0);
    assertThat(volts).hasSizeBetween(8, 30);
    for (int i = 1; i < volts.size(); i++) {
      assertThat(volts.get(i)).isLessThan(volts.get(i - 1));
    }
    assertThat(volts.get(volts.size() - 1)).as("below the safe figure").isLessThan(30);
    List<Class<?>> kinds = new ArrayList<>(station.events.stream().map(Event::getClass).toList());
    assertThat(kinds.lastIndexOf(Event.RailRead.class))
        .isLessThan(kinds.lastIndexOf(Event.OpeningTold.class));
  }

  @Test
  void theEventsTellTheRunInOrder() throws Exception {
    station.run();
    assertThat(
            station.events.stream()
                .filter(event -> !(event instanceof Event.RailRead))
                .map(SequencerTest::shortly))
        .containsExactly(
            "RunStarted 8 steps",
            "BenchOpened [audio, hv-meter, relays]",
            "SafeState start of the run true",
            "StepStarted 0 first power",
            "OpeningTold no",
            "ResultJudged 0 supply rise pass",
            "ResultJudged 0 supply rise peak not judged",
            "ResultJudged 0 supply rise settled pass",
            "ResultJudged 0 supply rise time to settle not judged",
            "StepFinished 0 first power passed",
            "StepStarted 1 rail",
            "ResultJudged 1 hv pass",
            "ResultJudged 1 hv spread not judged",
            "StepFinished 1 rail passed",
            "StepStarted 2 gain",
            "ResultJudged 2 gain pass",
            "StepFinished 2 gain passed",
            "StepStarted 3 gain",
            "ResultJudged 3 gain pass",
            "StepFinished 3 gain passed",
            "StepStarted 4 gain",
            "ResultJudged 4 gain pass",
            "StepFinished 4 gain passed",
            "StepStarted 5 gain",
            "ResultJudged 5 gain pass",
            "StepFinished 5 gain passed",
            "StepStarted 6 distortion",
            "ResultJudged 6 thd pass",
            "ResultJudged 6 thd+n not judged",
            "ResultJudged 6 harmonic 2 not judged",
            "ResultJudged 6 harmonic 3 not judged",
            "StepFinished 6 distortion passed",
            "StepStarted 7 discharge",
            "OpeningTold yes",
            "ResultJudged 7 discharge not judged",
            "ResultJudged 7 discharge time constant pass",
            "ResultJudged 7 discharge time to 60 V not judged",
            "ResultJudged 7 discharge time to safe not judged",
            "StepFinished 7 discharge passed",
            "SafeState end of the run true",
            "RunEnded pass");
  }

  private static String shortly(Event event) {
    if (event instanceof Event.RunStarted e) {
      return "RunStarted " + e.steps().size() + " steps";
    } else if (event instanceof Event.BenchOpened e) {
      return "BenchOpened " + e.instruments().keySet().stream().sorted().toList();
    } else if (event instanceof Event.SafeState e) {
      return "SafeState " + e.cause() + " " + e.confirmed();
    } else if (event instanceof Event.StepStarted e) {
      return "StepStarted " + e.index() + " " + e.step();
    } else if (event instanceof Event.ResultJudged e) {
      return "ResultJudged "
          + e.index()
          + " "
          + e.measurement().name()
          + " "
          + e.judgement().outcome();
    } else if (event instanceof Event.StepFinished e) {
      return "StepFinished " + e.index() + " " + e.step() + " " + e.outcome();
    } else if (event instanceof Event.OpeningTold e) {
      return "OpeningTold " + e.safeToOpen();
    } else if (event instanceof Event.RunEnded e) {
      return "RunEnded " + e.verdict();
    }
    return event.toString();
  }

  @Test
  void aFailedResultFailsTheUnitAndThePlanGoesOn() throws Exception {
    station.limits = station.limits.replace("low: 25.9 dB", "low: 26.05 dB");
    assertThat(station.run()).isEqualTo(Verdict.FAIL);
    Event.RunEnded end = station.events(Event.RunEnded.class).get(0);
    assertThat(end.failed())
        .containsExactly(
            "gain (channel left, tap 4 ohm, power 1 W, frequency 1 kHz)",
            "gain (channel left, tap 8 ohm, power 1 W, frequency 1 kHz)",
            "gain (channel right, tap 4 ohm, power 1 W, frequency 1 kHz)",
            "gain (channel right, tap 8 ohm, power 1 W, frequency 1 kHz)");
    assertThat(end.reason())
        .isEqualTo(
            "gain (channel left, tap 4 ohm, power 1 W, frequency 1 kHz): 26.02 dB is below 26.05 dB");
    assertThat(station.outcome("distortion")).isEqualTo(StepOutcome.PASSED);
    Invariants.check(station, "failing gain");
  }

  @Test
  void aFailureWithOnFailStopSkipsTheRestButNotTheShutDown() throws Exception {
    station.railTarget = 120;
    assertThat(station.run()).isEqualTo(Verdict.FAIL);
    assertThat(station.outcome("first power")).isEqualTo(StepOutcome.FAILED);
    assertThat(station.outcome("rail")).isEqualTo(StepOutcome.SKIPPED);
    assertThat(station.outcome("distortion")).isEqualTo(StepOutcome.SKIPPED);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    assertThat(everEnergised()).doesNotContain("K2", "K3", "K4");
    Invariants.check(station, "bad rise");
  }

  @Test
  void theShutDownIsSkippedIfMainsHasNeverBeenOn() throws Exception {
    station.plan =
        station.plan.replaceFirst(
            "steps:\n",
            """
            steps:
              - {step: cold, procedure: reading, meter: hv-meter, function: hv, result: cold, on-fail: stop}
            """);
    station.limits += "  - {result: cold, low: 1 V}\n";
    assertThat(station.run()).isEqualTo(Verdict.FAIL);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.SKIPPED);
    assertThat(station.board.moments()).isEmpty();
    assertThat(station.events(Event.Notice.class)).isEmpty();
  }

  @Test
  void aLimitThatNoMeasurementMetPreventsAPass() throws Exception {
    station.limits += "  - {result: hum, high: 1 mV}\n";
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .isEqualTo("no measurement met the limit for hum");
  }

  @Test
  void aResultThatCouldNotBeMeasuredFailsItsLimit() throws Exception {
    station.amplifier = signal -> scaled(signal, 0);
    assertThat(station.run()).isEqualTo(Verdict.FAIL);
    assertThat(station.outcome("gain")).isEqualTo(StepOutcome.FAILED);
    assertThat(station.events(Event.RunEnded.class).get(0).reason()).contains("is not reached");
    Invariants.check(station, "silent unit");
  }

  private static kitproof.value.Signal scaled(kitproof.value.Signal signal, double by) {
    double[][] channels = new double[signal.channels()][];
    for (int i = 0; i < channels.length; i++) {
      channels[i] = java.util.Arrays.stream(signal.channel(i)).map(v -> v * by).toArray();
    }
    return kitproof.value.Signal.of(signal.sampleRateHz(), channels);
  }

  @Test
  void resultsWithoutALimitAreNotJudged() throws Exception {
    station.run();
    assertThat(
            station.events(Event.ResultJudged.class).stream()
                .filter(e -> e.measurement().name().equals("harmonic 2"))
                .map(e -> e.judgement().outcome()))
        .containsExactly(Judgement.Outcome.NOT_JUDGED);
  }

  @Test
  void aSecondPowerUpGoesBehindTheLimiterAgain() throws Exception {
    station.plan = SmallFiles.POWERED_TWICE;
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.outcome("rest")).isEqualTo(StepOutcome.PASSED);
    assertThat(station.outcome("again")).isEqualTo(StepOutcome.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .isEqualTo("the limiter stays in: no supply rise has been judged good since mains was off");
    List<Set<String>> relays =
        station.board.moments().stream().map(FakeRelayBoard.Moment::energised).toList();
    List<Set<String>> since = relays.subList(relays.indexOf(Set.of("K1", "K2")), relays.size());
    List<Boolean> mains = since.stream().map(on -> on.contains("K1")).toList();
    assertThat(mains.subList(mains.indexOf(false), mains.size()))
        .as("once off it stays off")
        .doesNotContain(true);
  }

  @Test
  void aRiseThatNoLimitJudgesDoesNotTakeTheLimiterOut() throws Exception {
    station.limits = station.limits.replaceAll("(?m)^ *- \\{result: supply rise.*\n", "");
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(everEnergised()).contains("K1").doesNotContain("K2");
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .isEqualTo("the limiter stays in: no supply rise has been judged good since mains was off");
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
  }

  @Test
  void aRouteChosenByNameStandsInTheLoadsPlace() throws Exception {
    station.plan =
        station.plan.replace(
            "    conditions: {channel: left, tap: 8 ohm, mode: triode}\n",
            "    conditions: {channel: left, tap: 8 ohm, mode: triode}\n"
                + "    select: [left other load]\n");
    assertThat(station.run()).isEqualTo(Verdict.PASS);
    assertThat(
            station.board.moments().stream()
                .map(FakeRelayBoard.Moment::energised)
                .filter(on -> on.contains("K9") && on.contains("K3")))
        .isNotEmpty()
        .allSatisfy(on -> assertThat(on).doesNotContain("K5", "K6"));
  }

  private List<String> everEnergised() {
    return station.board.moments().stream()
        .flatMap(moment -> moment.energised().stream())
        .distinct()
        .toList();
  }

  @Test
  void aCalibrationThatDoesNotFitIsRefusedWithTheBenchSafe() throws Exception {
    FakeStation station = new FakeStation();
    station.standing =
        bench ->
            bench.standing(
                Standing.calibrated(
                    Calibration.read(
                            "c.yaml",
                            "bench: bench of fakes\ndate: 2026-11-26\n"
                                + "instruments: {hv-meter: {identity: another meter}}\n")
                        .value()));
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason()).startsWith(Sequencer.MISFIT);
    assertThat(station.events(Event.SafeState.class))
        .singleElement()
        .satisfies(safe -> assertThat(safe.confirmed()).isTrue());
    assertThat(station.outcomes()).isEmpty();
  }
}
