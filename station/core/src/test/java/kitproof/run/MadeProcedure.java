package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
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

  /** Which input ranges it chooses. */
  static final ThreadLocal<Random> CHANCE = ThreadLocal.withInitial(() -> new Random(1));

  /**
   * Of a procedure.
   *
   * @param mains what it does with the mains by itself
   * @param drives whether it drives
   * @param rise whether it yields the rise
   * @param needs the instruments it would use, which it only says
   * @param exchanges routes that it selects for a while
   */
  record Settings(
      Outline.MainsUse mains,
      boolean drives,
      boolean rise,
      List<Outline.Need> needs,
      List<String> exchanges) {}

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
    return new Outline(
            promises, settings.needs, settings.drives, settings.mains, Duration.ofMillis(1))
        .exchanging(settings.exchanges.toArray(String[]::new));
  }

  /** Two signals, each in a range made by chance. */
  private void play(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    List<StepBench.InputRange> ranges =
        outline(settings).listens() ? bench.inputRanges() : List.of();
    for (int signal = 0; signal < 2; signal++) {
      if (!ranges.isEmpty()) {
        bench.selectInputRange(ranges.get(CHANCE.get().nextInt(ranges.size())));
      }
      MIDDLE.get().of(settings, bench);
    }
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    switch (settings.mains) {
      case FIRST_POWER -> bench.mains(Route.Purpose.MAINS_LIMITED);
      case OFF -> bench.mains(Route.Purpose.MAINS_OFF);
      case NONE, COLD -> {}
    }
    play(settings, bench);
    if (!settings.exchanges.isEmpty()) {
      var unused =
          bench.rerouted(
              settings.exchanges,
              () -> {
                play(settings, bench);
                return true;
              });
      play(settings, bench);
    }
    return settings.rise
        ? List.of(Measurement.of("rise", bench.conditions(), Quantity.of(RISE.get(), Unit.VOLT)))
        : List.of();
  }
}
