package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.value.Conditions;
import kitproof.value.Measurement;

/** Any meter quantity: the mean of n readings, and their spread (sample standard deviation). */
final class ReadingProcedure implements Procedure<ReadingProcedure.Settings> {
  record Settings(
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the result's name") String result,
      @Meaning("how many readings") @Initially("1") @Bounds(low = 1, high = 10000) int count,
      @Meaning("from one reading to the next") @Initially("200 ms") @Bounds(low = 0.001)
          Duration every) {}

  @Override
  public String id() {
    return "reading";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    List<Outline.Promise> promises = new ArrayList<>();
    promises.add(
        new Outline.Promise(settings.result, Conditions.NONE, null, false)
            .known(Outline.Basis.METER));
    if (settings.count > 1) {
      promises.add(
          new Outline.Promise(spreadOf(settings), Conditions.NONE, null, false)
              .known(Outline.Basis.OBSERVED));
    }
    return new Outline(
        promises,
        List.of(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.NONE,
        settings.every.multipliedBy(settings.count));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Meter meter = bench.meter(settings.meter);
    List<Meters.Sample> samples =
        Meters.series(bench, meter, settings.function, settings.count, settings.every);
    return MeanReading.of(samples)
        .results(
            settings.result,
            settings.count > 1 ? spreadOf(settings) : "",
            bench.conditions(),
            MeterTrust.of(bench, settings.meter, settings.function));
  }

  private static String spreadOf(Settings settings) {
    return settings.result + " spread";
  }
}
