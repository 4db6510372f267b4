package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.procedure.Outline;
import kitproof.procedure.Procedure;
import kitproof.procedure.StepBench;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** What procedures do to the relays, without the instruments. */
final class MadeProcedure implements Procedure<MadeProcedure.Settings> {
  static final MadeProcedure INSTANCE = new MadeProcedure();

  /** Called in the middle of each step, when its signal would play. */
  interface Middle {
    void of(Settings settings, StepBench bench) throws InstrumentException, InterruptedException;
  }

  /** Of the run on this thread; a run has one thread for its procedures. */
  static final ThreadLocal<Middle> MIDDLE = ThreadLocal.withInitial(() -> (s, b) -> {});

  /** What the rise settles at. */
  static final ThreadLocal<Double> RISE = ThreadLocal.withInitial(() -> 300.0);

  record Settings(Outline.MainsUse mains, boolean drives, boolean rise) {}

  @Override
  public String id() {
    return "made";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    List<Outline.Promise> promises = new ArrayList<>();
    if (settings.rise) {
      promises.add(new Outline.Promise("rise", Conditions.NONE, Unit.VOLT, false));
    }
    return new Outline(promises, List.of(), settings.drives, settings.mains, Duration.ofMillis(1));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    switch (settings.mains) {
      case FIRST_POWER -> bench.mains(Route.Purpose.MAINS_LIMITED);
      case OFF -> bench.mains(Route.Purpose.MAINS_OFF);
      case NONE, COLD -> {}
    }
    MIDDLE.get().of(settings, bench);
    return settings.rise
        ? List.of(Measurement.of("rise", bench.conditions(), Quantity.of(RISE.get(), Unit.VOLT)))
        : List.of();
  }
}
