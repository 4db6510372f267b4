package kitproof.batch;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.limit.Judgement;
import kitproof.limit.Judgement.Outcome;
import kitproof.limit.Limit;
import kitproof.procedure.ReferenceUnit;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Writes records of runs with made-up figures, as a station would. */
public final class Linnets {
  public static final Conditions TAP = Conditions.of("mode", "triode").with("tap", "8 ohm");

  /** The gains of the batch "pilot" in the end, dB. */
  public static final List<Double> PILOT =
      List.of(26.02, 25.97, 26.01, 25.99, 26.7, 26.03, 25.98, 26.0, 26.04, 25.96, 26.01, 24.5);

  private final RecordStore store;
  private Instant now = Instant.parse("2026-11-25T08:00:00Z");
  private @Nullable Uncertainty uncertainty;
  private Event.@Nullable CalibrationTold calibration;
  private String reference = "";

  public Linnets(Path folder) throws IOException {
    store = new RecordStore(folder);
  }

  /** How well the gain of the runs from here on is known; not at all if null. */
  public Linnets known(@Nullable Uncertainty ofGain) {
    uncertainty = ofGain;
    return this;
  }

  /** How the bench stands in the runs from here on; nothing is told of it if null. */
  public Linnets told(Event.@Nullable CalibrationTold ofBench) {
    calibration = ofBench;
    return this;
  }

  /** The gain of the runs from here on is compared with that of this unit, 26 dB. */
  public Linnets comparedWith(String unit) {
    reference = unit;
    return this;
  }

  /**
   * The batch "pilot" of twelve: LN12-003 fails once before it passes, LN12-012 stays too low, the
   * station fails once at LN12-007, and LN12-005 is unlike its sisters though inside the limits.
   *
   * @return the record of LN12-001
   */
  public Path pilot() throws IOException {
    Path first = null;
    for (int i = 1; i <= PILOT.size(); i++) {
      if (i == 3) {
        run("pilot", 3, 24, -1.5);
      }
      if (i == 7) {
        run("pilot", 7, 26, -0.5, Verdict.ERROR);
      }
      Path record = run("pilot", i, PILOT.get(i - 1), -0.5 - 0.01 * (i % 4));
      first = first == null ? record : first;
    }
    return Objects.requireNonNull(first);
  }

  /** Goes on where another station's clock stands. */
  public void after(Linnets other) {
    now = other.now;
  }

  /**
   * A gain limited to 25 to 27 dB, a response 0 to −1 dB at 20 kHz, and a bias that nothing limits.
   */
  public Path run(String batch, int number, double gain, double top) throws IOException {
    boolean good = gain >= 25 && gain <= 27 && top >= -1;
    return run(batch, number, gain, top, good ? Verdict.PASS : Verdict.FAIL);
  }

  /** The same with a verdict of its own. */
  public Path run(String batch, int number, double gain, double top, Verdict verdict)
      throws IOException {
    String serial = String.format(Locale.ROOT, "LN12-%03d", number);
    now = now.plusSeconds(600);
    String run = now.toString().replaceAll("[-:]", "") + "-" + serial;
    List<Event> events = new ArrayList<>();
    events.add(
        new Event.RunStarted(
            run,
            "attic",
            "bench-1",
            serial,
            batch,
            "Linnet 12",
            "B",
            "final test",
            Map.of("plan", "sha256:01", "limits", "sha256:03"),
            List.of(new Event.PlannedStep("audio", TAP, Duration.ofSeconds(3)))));
    if (calibration != null) {
      events.add(calibration);
    }
    events.add(new Event.StepStarted(0, "audio", "gain", TAP));
    List<Event.ResultJudged> results = results(gain, top);
    if (verdict != Verdict.ERROR) {
      events.addAll(results);
    }
    List<String> failed =
        results.stream()
            .filter(r -> verdict != Verdict.ERROR && r.judgement().outcome().fails())
            .map(r -> r.measurement().title())
            .toList();
    events.add(
        new Event.StepFinished(
            0,
            "audio",
            TAP,
            failed.isEmpty() ? StepOutcome.PASSED : StepOutcome.FAILED,
            "",
            Duration.ofSeconds(3)));
    events.add(new Event.RunEnded(verdict, verdict == Verdict.PASS ? "" : "see above", failed));
    try (Journal journal = store.begin(run, () -> now)) {
      for (Event event : events) {
        journal.append(event);
      }
      return RecordDocument.write(store, journal.file());
    }
  }

  private List<Event.ResultJudged> results(double gain, double top) {
    Limit limit = new Limit.Scalar(Quantity.of(25, Unit.DECIBEL), Quantity.of(27, Unit.DECIBEL));
    Limit mask =
        new Limit.Mask(
            List.of(
                new Limit.Point(Quantity.of(20, Unit.HERTZ), Quantity.of(-1, Unit.DECIBEL), null),
                new Limit.Point(
                    Quantity.of(20000, Unit.HERTZ), Quantity.of(-1, Unit.DECIBEL), null)));
    double[] x = new double[61];
    double[] y = new double[61];
    for (int i = 0; i < x.length; i++) {
      x[i] = 20 * Math.pow(1000, i / 60.0);
      y[i] = (gain - 26) * 0.01 + top * Math.pow(i / 60.0, 6);
    }
    x[60] = 20000;
    List<Event.ResultJudged> all = new ArrayList<>(differences(gain));
    all.addAll(
        0,
        List.of(
            new Event.ResultJudged(
                0,
                new Measurement(
                    "gain",
                    TAP,
                    new Figure.OfQuantity(Quantity.of(gain, Unit.DECIBEL)),
                    "",
                    uncertainty),
                new Judgement(
                    gain < 25 || gain > 27 ? Outcome.FAIL : Outcome.PASS, limit, "words")),
            new Event.ResultJudged(
                0,
                Measurement.of("frequency response", TAP, Curve.of(Unit.HERTZ, x, Unit.DECIBEL, y)),
                new Judgement(top < -1 ? Outcome.FAIL : Outcome.PASS, mask, "words")),
            new Event.ResultJudged(
                0,
                Measurement.of(
                    "cathode voltage",
                    Conditions.NONE,
                    Quantity.of(8.5 + (gain - 26) / 2, Unit.VOLT)),
                new Judgement(Outcome.NOT_JUDGED, null, "there is no limit"))));
    return all;
  }

  private List<Event.ResultJudged> differences(double gain) {
    if (reference.isEmpty()) {
      return List.of();
    }
    Conditions against = TAP.with(AgainstUnit.CONDITION, AgainstUnit.NAMED);
    ReferenceUnit unit =
        new ReferenceUnit(reference, "Linnet 12", "B", "R1", 2, "sha256:04", true, List.of());
    return List.of(
        new Event.ResultJudged(
            0,
            Measurement.of("gain difference", against, Quantity.of(gain - 26, Unit.DECIBEL))
                .noted("less that of " + unit.title()),
            new Judgement(Outcome.PASS, new Limit.Scalar(decibel(-1), decibel(1)), "words")),
        new Event.ResultJudged(
            0,
            Measurement.of(
                    "response difference",
                    against,
                    Curve.of(
                        Unit.HERTZ,
                        new double[] {20, 200, 2000},
                        Unit.DECIBEL,
                        new double[] {gain - 26, 26 - gain, 0}))
                .noted("less that of " + unit.title()),
            new Judgement(
                Outcome.PASS,
                new Limit.Mask(
                    List.of(
                        new Limit.Point(Quantity.of(20, Unit.HERTZ), decibel(-1), decibel(1)),
                        new Limit.Point(Quantity.of(2000, Unit.HERTZ), decibel(-1), decibel(1)))),
                "words")));
  }

  private static Quantity decibel(double value) {
    return Quantity.of(value, Unit.DECIBEL);
  }
}
