package kitproof.board;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.calibration.Standing;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.mqtt.Message;
import kitproof.mqtt.Messages;
import kitproof.mqtt.RecordMessage;
import kitproof.mqtt.Topics;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** A station that tells made-up runs, as the real one does. */
public final class Sender {
  public static final Instant START = Instant.parse("2026-11-25T10:00:00Z");

  private final String station;
  private static final int PLANNED = 12;
  private final List<Message> sent = new ArrayList<>();
  private double pace;
  private double guard;
  private boolean uncalibrated;
  private boolean twice;
  private double uncertainty;
  private boolean check;
  private double mains;
  private final List<RunRecord> records = new ArrayList<>();

  public Sender(String station) {
    this.station = station;
  }

  /** From here on its bench is simulated and so many times as fast as the calendar. */
  public Sender paced(double times) {
    pace = times;
    return this;
  }

  /** From here on hum is accepted only if it is so many volts below its limit. */
  public Sender guarded(double volts) {
    guard = volts;
    return this;
  }

  /** From here on its bench has no calibration that holds. */
  public Sender uncalibrated() {
    uncalibrated = true;
    return this;
  }

  /** From here on hum is known to so many volts, a standard uncertainty. */
  public Sender known(double volts) {
    uncertainty = volts;
    return this;
  }

  /** From here on hum is measured a first time, and passes, before it is as told. */
  public Sender twice() {
    twice = true;
    return this;
  }

  /** From here on what it runs is its check standard. */
  public Sender checking() {
    check = true;
    return this;
  }

  /** From here on units are run on so many volts of mains, which are measured first. */
  public Sender mains(double volts) {
    mains = volts;
    return this;
  }

  /** The records of all runs that ended with results, in order. */
  public List<RunRecord> records() {
    return List.copyOf(records);
  }

  private RecordMessage.Beside beside(RunRecord run) {
    return new RecordMessage.Beside(PLANNED, finished(run), check);
  }

  private @Nullable Instant finished(RunRecord run) {
    Instant ended = run.ended();
    return pace == 0 || ended == null
        ? null
        : START.plusMillis(Math.round(Duration.between(START, ended).toMillis() / pace));
  }

  /** Everything so far, in order. */
  public List<Message> sent() {
    return List.copyOf(sent);
  }

  /** Only what a broker keeps for those who come later. */
  public List<Message> retained() {
    return sent.stream().filter(Message::retained).toList();
  }

  static void deliver(Board board, List<Message> messages) {
    messages.forEach(m -> board.message(m.topic(), m.payload().getBytes(StandardCharsets.UTF_8)));
  }

  /** Name of the run of a unit that ends at this minute. */
  public static String run(String unit, int minute) {
    return START.plusSeconds(60L * minute).toString() + "-" + unit;
  }

  /** A run that takes a minute; hum fails above 1 mV, the response if told so. */
  public Sender unit(String unit, String batch, int minute, double hum, double atTwenty) {
    List<Entry> entries = entries(unit, batch, minute, hum, atTwenty);
    Event.RunStarted start = (Event.RunStarted) entries.get(0).event();
    for (Entry entry : entries) {
      List<Message> messages = new ArrayList<>(Messages.of(entry, start));
      if (entry.event() instanceof Event.RunEnded) {
        RunRecord run = RunRecord.of(entries);
        records.add(run);
        messages.add(1, RecordMessage.verdict(run, entry.id(), beside(run)));
        messages.add(2, RecordMessage.of(run, entry.id(), beside(run)));
      }
      sent.addAll(messages);
    }
    return this;
  }

  public Sender unit(String unit, int minute, double hum) {
    return unit(unit, "pilot", minute, hum, -0.5);
  }

  /** A run that ends with the station's error or aborted, before anything was measured. */
  public Sender broken(String unit, int minute, Verdict verdict) {
    return broken(unit, "pilot", minute, verdict);
  }

  public Sender broken(String unit, String batch, int minute, Verdict verdict) {
    String run = run(unit, minute);
    Event.RunStarted start = start(run, unit, batch);
    List<Entry> entries =
        List.of(
            new Entry(run, 0, START.plusSeconds(60L * minute - 60), start),
            new Entry(
                run,
                1,
                START.plusSeconds(60L * minute),
                new Event.RunEnded(verdict, "limiter: too much current", List.of())));
    sent.addAll(Messages.of(entries.get(0), start));
    RunRecord record = RunRecord.of(entries);
    sent.add(RecordMessage.verdict(record, entries.get(1).id(), PLANNED));
    sent.add(RecordMessage.of(record, entries.get(1).id(), PLANNED));
    sent.addAll(Messages.of(entries.get(1), start));
    return this;
  }

  /** A run that goes on and tells the operator something. */
  public Sender notice(String unit, int minute, String text) {
    String run = run(unit, minute);
    Event.RunStarted start = start(run, unit, "pilot");
    Instant begin = START.plusSeconds(60L * minute - 60);
    Event notice = new Event.Notice(text);
    sent.addAll(Messages.of(new Entry(run, 0, begin, start), start));
    sent.addAll(Messages.of(new Entry(run, 1, begin.plusSeconds(1), notice), start));
    return this;
  }

  /** What the station is doing. */
  public Sender status(String state, String more) {
    String topic = Topics.status("attic", station);
    String payload =
        """
        {"schema":1,"id":"s","shop":"attic","station":"%s","state":"%s"%s}\
        """
            .formatted(station, state, more);
    sent.add(new Message(topic, "s", payload, true));
    return this;
  }

  /** In the middle of a run. */
  public Sender running(String unit, int minute) {
    return running(unit, "pilot", minute);
  }

  public Sender running(String unit, String batch, int minute) {
    return status(
        "running",
        """
        ,"planned":12,"pace":2,"run":"%s","product":"linnet-12","unit":"%s","revision":"b",
        "batch":"%s","plan":"final test","started":"2026-11-25T10:00:00Z","steps":4,
        "expected":60,"index":1,"step":"hum","conditions":{"mode":"triode"},"behind":15,
        "opening":{"unit":"%s","safeToOpen":"no","reason":"mains is applied; the HV rail is live"},
        "last":{"title":"hum (mode triode)","outcome":"pass","detail":"at most 1 mV"}\
        """
            .formatted(run(unit, minute), unit, batch, unit));
  }

  private Event.RunStarted start(String run, String unit, String batch) {
    Conditions triode = Conditions.of("mode", "triode");
    return new Event.RunStarted(
        run,
        "attic",
        station,
        unit,
        batch,
        "linnet-12",
        "b",
        "final test",
        Map.of(),
        List.of(
            new Event.PlannedStep("hum", triode, Duration.ofSeconds(15)),
            new Event.PlannedStep("response", triode, Duration.ofSeconds(45))));
  }

  private List<Entry> entries(String unit, String batch, int minute, double hum, double atTwenty) {
    String run = run(unit, minute);
    Conditions triode = Conditions.of("mode", "triode");
    boolean quiet = hum <= 1e-3 - guard;
    boolean flat = atTwenty >= -1;
    List<String> failed = new ArrayList<>();
    if (!quiet) {
      failed.add("hum (mode triode)");
    }
    if (!flat) {
      failed.add("frequency response (mode triode)");
    }
    List<Event> events = new ArrayList<>();
    events.add(start(run, unit, batch));
    String note = "";
    if (uncalibrated) {
      Standing none = Standing.uncalibrated("there is no bench.calibration.yaml");
      events.add(new Event.CalibrationTold(false, none.told().get(0), List.of()));
      none.told().forEach(told -> events.add(new Event.Notice(told)));
      note = none.note();
    }
    events.add(new Event.StepStarted(0, "hum", "hum", triode));
    if (mains > 0) {
      events.add(
          new Event.ResultJudged(
              0,
              Measurement.of("mains voltage", Conditions.NONE, Quantity.of(mains, Unit.VOLT)),
              new Judgement(Judgement.Outcome.NOT_JUDGED, null, "", null)));
    }
    if (twice) {
      events.add(hum(0.1e-3, note));
    }
    events.add(hum(hum, note));
    events.add(finished(0, "hum", triode, quiet));
    events.add(new Event.StepStarted(1, "response", "sweep", triode));
    events.add(
        new Event.ResultJudged(
            1,
            Measurement.of("frequency response", triode, response(atTwenty)).noted(note),
            new Judgement(
                flat ? Judgement.Outcome.PASS : Judgement.Outcome.FAIL,
                mask(),
                "mask",
                guard == 0 ? null : new Judgement.Guard(0.1, 0.1, 0.99))));
    events.add(finished(1, "response", triode, flat));
    events.add(new Event.OpeningTold(SafeToOpen.YES, "HV rail below 30 V five times"));
    events.add(
        new Event.RunEnded(
            failed.isEmpty() ? Verdict.PASS : Verdict.FAIL,
            failed.isEmpty() ? "" : failed.size() + " results failed",
            failed));
    List<Entry> entries = new ArrayList<>();
    Instant begin = START.plusSeconds(60L * minute - 60);
    for (Event event : events) {
      int second = event instanceof Event.RunEnded ? 60 : Math.min(55, 5 * entries.size());
      entries.add(new Entry(run, entries.size(), begin.plusSeconds(second), event));
    }
    return entries;
  }

  private Event hum(double volts, String note) {
    Judgement.Outcome outcome =
        volts > 1e-3
            ? Judgement.Outcome.FAIL
            : volts > 1e-3 - guard ? Judgement.Outcome.GUARD_BAND : Judgement.Outcome.PASS;
    String detail =
        switch (outcome) {
          case FAIL -> "above 1 mV";
          case GUARD_BAND -> "too near to 1 mV";
          default -> "at most 1 mV";
        };
    Measurement measurement =
        Measurement.of("hum", Conditions.of("mode", "triode"), Quantity.of(volts, Unit.VOLT))
            .noted(note);
    if (uncertainty > 0) {
      measurement =
          measurement.with(
              Uncertainty.of(uncertainty, uncertainty, Double.POSITIVE_INFINITY, List.of()));
    }
    return new Event.ResultJudged(
        0,
        measurement,
        new Judgement(
            outcome,
            new Limit.Scalar(null, Quantity.of(1e-3, Unit.VOLT)),
            detail,
            guard == 0 ? null : new Judgement.Guard(0, guard, 0.99)));
  }

  private static Event finished(int index, String step, Conditions conditions, boolean passed) {
    return new Event.StepFinished(
        index,
        step,
        conditions,
        passed ? StepOutcome.PASSED : StepOutcome.FAILED,
        "",
        Duration.ofSeconds(5));
  }

  private static Limit mask() {
    return new Limit.Mask(
        List.of(
            corner(20, -1.5, 0.5),
            corner(40, -0.6, 0.5),
            corner(15000, -0.6, 0.5),
            corner(20000, -1.5, 0.5)));
  }

  private static Limit.Point corner(double hertz, double low, double high) {
    return new Limit.Point(
        Quantity.of(hertz, Unit.HERTZ),
        Quantity.of(low, Unit.DECIBEL),
        Quantity.of(high, Unit.DECIBEL));
  }

  private static Curve response(double atTwenty) {
    double[] x = new double[60];
    double[] y = new double[60];
    for (int i = 0; i < x.length; i++) {
      x[i] = 20 * Math.pow(1000, i / 59.0);
      y[i] = atTwenty * Math.pow(20 / x[i], 2) - 0.4 * Math.pow(x[i] / 20000, 4);
    }
    return Curve.of(Unit.HERTZ, x, Unit.DECIBEL, y);
  }
}
