package kitproof.journal;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/** Events of every kind with unlikely contents, the same for the same seed. */
public final class RandomEvents {
  private static final String[] WORDS = {
    "", "thd+n", "8 Ω", "quote \" and \\ slash", "two\nlines\r\n", "tab\tnul\0", "Größe", "🎛", "{}"
  };

  private final Random random;

  public RandomEvents(long seed) {
    random = new Random(seed);
  }

  /** A whole run: a start, what comes in between, an end. */
  public List<Entry> run(String run, int between) {
    List<Event> events = new ArrayList<>();
    events.add(start(run));
    for (int i = 0; i < between; i++) {
      events.add(inBetween());
    }
    events.add(end());
    List<Entry> entries = new ArrayList<>();
    for (Event event : events) {
      entries.add(new Entry(run, entries.size(), instant(), event));
    }
    return entries;
  }

  public Event.RunStarted start(String run) {
    List<Event.PlannedStep> steps = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      steps.add(
          new Event.PlannedStep(word(), conditions(), Duration.ofMillis(random.nextInt(100_000))));
    }
    return new Event.RunStarted(
        run, "shop", "station 1", "LN12-" + word(), word(), "linnet-12", "b", word(), map(), steps);
  }

  public Event inBetween() {
    int index = random.nextInt(5);
    return switch (random.nextInt(15)) {
      case 0 -> new Event.BenchOpened(map());
      case 1 -> new Event.StepStarted(index, word(), word(), conditions());
      case 2 -> new Event.ResultJudged(index, measurement(), judgement());
      case 3 ->
          new Event.StepFinished(
              index, word(), conditions(), one(StepOutcome.values()), word(), duration());
      case 4 -> new Event.SafeState(word(), random.nextBoolean(), word());
      case 5 ->
          new Event.InterlockTripped(
              word(), word(), random.nextBoolean() ? quantity() : null, duration());
      case 6 -> new Event.OpeningTold(one(SafeToOpen.values()), word());
      case 7 -> new Event.OperatorAnswered(word(), word());
      case 8 -> new Event.Retest(2 + random.nextInt(5), word(), one(Verdict.values()));
      case 11 -> new Event.CalibrationTold(random.nextBoolean(), word(), List.of(word(), word()));
      case 9 ->
          new Event.GaugeTrial(
              word(), 1 + random.nextInt(9), 9, word(), 1 + random.nextInt(3), word());
      case 10 ->
          new Event.CaptureKept(
              index,
              word(),
              word(),
              word(),
              48_000,
              List.of(new Event.Port(word(), random.nextDouble())),
              List.of(new Event.Port(word(), random.nextDouble())),
              Map.of(word(), quantity()),
              word(),
              word(),
              random.nextBoolean(),
              random.nextBoolean(),
              random.nextBoolean() ? Map.of() : Map.of(word(), random.nextDouble()));
      case 12 -> new Event.RailRead(quantity());
      case 13 -> new Event.ResultsLeftOut(index, List.of(new Event.Awaited(word(), conditions())));
      default -> new Event.Notice(word());
    };
  }

  public Event end() {
    return new Event.RunEnded(one(Verdict.values()), word(), List.of(word(), word()));
  }

  public Measurement measurement() {
    Figure figure =
        switch (random.nextInt(3)) {
          case 0 -> new Figure.OfQuantity(quantity());
          case 1 -> new Figure.OfCurve(curve());
          default -> new Figure.Invalid(word());
        };
    return new Measurement(
        word(),
        conditions(),
        figure,
        random.nextInt(3) == 0 ? word() : "",
        random.nextInt(3) == 0 ? uncertainty(figure) : null);
  }

  private Uncertainty uncertainty(Figure figure) {
    int size =
        figure instanceof Figure.OfCurve of
            ? of.curve().size()
            : figure instanceof Figure.OfQuantity ? 1 : 0;
    double[] below = random.doubles(size).toArray();
    double[] above = random.doubles(size).toArray();
    double[] degrees = random.doubles(size, 0.5, 50).toArray();
    for (int i = 0; i < size; i++) {
      degrees[i] = random.nextInt(4) == 0 ? Double.POSITIVE_INFINITY : degrees[i];
    }
    List<Contribution> budget = new ArrayList<>();
    for (int i = random.nextInt(4); i > 0; i--) {
      budget.add(
          new Contribution(
              word(),
              one(Contribution.Evaluation.values()),
              one(Contribution.Distribution.values()),
              one(Contribution.Side.values()),
              Math.abs(number()),
              one(Unit.values()),
              number(),
              random.nextBoolean() ? Double.POSITIVE_INFINITY : 0.5 + random.nextDouble()));
    }
    return Uncertainty.of(below, above, degrees, budget);
  }

  private Judgement judgement() {
    Limit limit =
        switch (random.nextInt(3)) {
          case 0 -> null;
          case 1 -> new Limit.Scalar(maybe(), maybe());
          default ->
              new Limit.Mask(
                  List.of(
                      new Limit.Point(quantity(), maybe(), maybe()),
                      new Limit.Point(quantity(), maybe(), maybe())));
        };
    Judgement.Guard guard =
        random.nextBoolean()
            ? null
            : new Judgement.Guard(random.nextDouble(), random.nextDouble(), random.nextDouble());
    return new Judgement(one(Judgement.Outcome.values()), limit, word(), guard);
  }

  private Curve curve() {
    int size = random.nextInt(40);
    double[] x = new double[size];
    double[] y = new double[size];
    for (int i = 0; i < size; i++) {
      x[i] = i + random.nextDouble();
      y[i] = number();
    }
    return Curve.of(one(Unit.values()), x, one(Unit.values()), y);
  }

  private Quantity maybe() {
    return random.nextBoolean() ? null : quantity();
  }

  private Quantity quantity() {
    return new Quantity(number(), one(Unit.values()));
  }

  /** Any finite double there is, each bit pattern alike. */
  private double number() {
    double number;
    do {
      number = Double.longBitsToDouble(random.nextLong());
    } while (!Double.isFinite(number));
    return number;
  }

  private Duration duration() {
    return Duration.ofSeconds(random.nextInt(100_000), random.nextInt(1_000_000_000));
  }

  private Instant instant() {
    return Instant.ofEpochSecond(1_700_000_000L + random.nextInt(), random.nextInt(1_000_000_000));
  }

  private Conditions conditions() {
    return new Conditions(map());
  }

  private Map<String, String> map() {
    Map<String, String> map = new LinkedHashMap<>();
    for (int i = random.nextInt(4); i > 0; i--) {
      map.put(word(), word());
    }
    return map;
  }

  private String word() {
    return WORDS[random.nextInt(WORDS.length)];
  }

  private <T> T one(T[] of) {
    return of[random.nextInt(of.length)];
  }
}
