package kitproof.benchmark;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.EventCodec;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Records of one batch, made up but of the size of real ones: a run of the Linnet plan leaves 380
 * single results and 137 curves with 79 points each in the mean, in a document of 1.3 MB.
 *
 * @param results single quantities of each unit
 * @param curves of each unit, in its document
 */
record MadeUpRecords(int results, int curves) {
  static final String BATCH = "large";
  private static final List<String> TAPS = List.of("4 ohm", "8 ohm", "16 ohm");
  private static final int POINTS = 79;

  /** As many curves beside the single results as a run of the Linnet plan has. */
  static int curvesBeside(int results) {
    return Math.round(results * 137 / 380f);
  }

  /** Single results only, which is what rows with a value are made of. */
  RunRecord record(int number) {
    return RunRecord.of(entries(number, 0));
  }

  /**
   * Writes documents as a station does, with all their curves.
   *
   * @return bytes of one
   * @throws IOException if there is no room for all of them, or one cannot be written
   */
  long documents(Path records, int number) throws IOException {
    long bytes = 0;
    for (int i = 0; i < number; i++) {
      RunRecord record = RunRecord.of(entries(i, curves));
      var document = EventCodec.tree(record);
      document.put("schema", EventCodec.SCHEMA);
      Path file = records.resolve(String.format(Locale.ROOT, "run-%06d.json", i));
      Files.writeString(file, EventCodec.text(document, false));
      if (i == 0) {
        bytes = Files.size(file);
        requireRoom(records, bytes * number);
      }
    }
    return bytes;
  }

  private static void requireRoom(Path records, long bytes) throws IOException {
    FileStore disk = Files.getFileStore(records);
    if (disk.getUsableSpace() < bytes * 5 / 4) {
      throw new IOException(
          records
              + ": found room for "
              + (disk.getUsableSpace() >> 20)
              + " MB; expected "
              + (bytes * 5 / 4 >> 20)
              + " MB for the documents; -Djava.io.tmpdir=DIR puts them elsewhere");
    }
  }

  private List<Entry> entries(int number, int withCurves) {
    Random random = new Random(number);
    Instant begin = Instant.parse("2026-01-01T00:00:00Z").plusSeconds(300L * number);
    String unit = String.format(Locale.ROOT, "LN12-%06d", number);
    String run = begin + "-" + unit;
    List<Entry> entries = new ArrayList<>();
    entries.add(
        new Entry(
            run,
            0,
            begin,
            new Event.RunStarted(
                run,
                "shop",
                "bench-" + number % 5,
                unit,
                BATCH,
                "Linnet 12",
                "B",
                "made up",
                Map.of(),
                List.of(new Event.PlannedStep("step", Conditions.NONE, Duration.ZERO)))));
    List<String> failed = new ArrayList<>();
    for (int i = 0; i < results; i++) {
      boolean bad = random.nextInt(40 * results) == 0;
      Measurement measurement =
          Measurement.of(
              "gain " + i / 6,
              Conditions.of("mode", i % 2 == 0 ? "triode" : "ultralinear")
                  .with("tap", TAPS.get(i / 2 % 3)),
              Quantity.of(27.3 + 0.1 * random.nextGaussian(), Unit.DECIBEL));
      if (bad) {
        failed.add(measurement.title());
      }
      Judgement judgement =
          new Judgement(
              bad ? Judgement.Outcome.FAIL : Judgement.Outcome.PASS,
              new Limit.Scalar(Quantity.of(26, Unit.DECIBEL), Quantity.of(28, Unit.DECIBEL)),
              "26 dB to 28 dB");
      entries.add(
          new Entry(run, entries.size(), begin, new Event.ResultJudged(0, measurement, judgement)));
    }
    for (int i = 0; i < withCurves; i++) {
      entries.add(new Entry(run, entries.size(), begin, curve(i, random)));
    }
    boolean good = failed.isEmpty();
    entries.add(
        new Entry(
            run,
            entries.size(),
            begin,
            new Event.StepFinished(
                0,
                "step",
                Conditions.NONE,
                good ? StepOutcome.PASSED : StepOutcome.FAILED,
                "",
                Duration.ofSeconds(250))));
    entries.add(
        new Entry(
            run,
            entries.size(),
            begin.plusSeconds(250),
            new Event.RunEnded(
                good ? Verdict.PASS : Verdict.FAIL,
                good ? "" : failed.size() + " results failed",
                failed)));
    return entries;
  }

  private static Event curve(int number, Random random) {
    double[] x = new double[POINTS];
    double[] y = new double[POINTS];
    for (int i = 0; i < POINTS; i++) {
      x[i] = 20 * Math.pow(1000, i / (POINTS - 1.0));
      y[i] = 0.01 * random.nextGaussian() - Math.pow(x[i] / 40_000, 2);
    }
    Limit mask =
        new Limit.Mask(
            List.of(
                new Limit.Point(Quantity.of(20, Unit.HERTZ), Quantity.of(-1, Unit.DECIBEL), null),
                new Limit.Point(
                    Quantity.of(20_000, Unit.HERTZ), Quantity.of(-3, Unit.DECIBEL), null)));
    Measurement measurement =
        Measurement.of(
            "frequency response " + number / 6,
            Conditions.of("mode", number % 2 == 0 ? "triode" : "ultralinear")
                .with("tap", TAPS.get(number / 2 % 3)),
            Curve.of(Unit.HERTZ, x, Unit.DECIBEL, y));
    return new Event.ResultJudged(
        0, measurement, new Judgement(Judgement.Outcome.PASS, mask, "inside the mask"));
  }
}
