package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.signal.ResponseFigures;
import kitproof.signal.Sweep;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * One sweep through the step's own routes and the same one while another is selected, on one
 * channel: what an impedance is found from.
 *
 * @param channel the channel
 * @param sweep the sweep
 * @param firstOhms the step's own load
 * @param first through the step's own routes
 * @param secondOhms the load while the other route was selected
 * @param second through the other route
 * @param loads how well the two loads are known
 */
record TwoSweeps(
    ToneBench.Channel channel,
    Sweep sweep,
    double firstOhms,
    SweepShot first,
    double secondOhms,
    SweepShot second,
    List<Factor> loads)
    implements HeardProcedure.Heard {
  private static final int POINTS_PER_OCTAVE = 12;

  /**
   * Levels each channel with the step's own routes and plays the sweep with that drive, then the
   * other one with as much less as keeps the power that the other load takes within the same.
   *
   * @return one for each channel of the step
   */
  static List<TwoSweeps> play(
      StepBench bench,
      ToneBench audio,
      Quantity power,
      Quantity frequency,
      QuantityRange band,
      Duration duration,
      String route)
      throws InstrumentException, InterruptedException {
    ReadySweep sweep = ReadySweep.of(SweptBand.sweep(band, duration, audio.sampleRateHz()));
    List<Levelling.Level> levels = SweepShot.levels(audio, sweep, frequency.in(Unit.HERTZ), power);
    List<Double> firstOhms = loads(audio);
    List<Factor> firstLoads = known(audio);
    List<Factor> secondLoads = new ArrayList<>();
    List<SweepShot> first = SweepShot.play(audio, sweep, levels);
    List<Double> secondOhms = new ArrayList<>();
    List<SweepShot> second =
        first.stream().noneMatch(SweepShot::good)
            ? first
            : bench.rerouted(
                List.of(route),
                () -> {
                  secondOhms.addAll(loads(audio));
                  secondLoads.addAll(known(audio));
                  return SweepShot.play(audio, sweep, within(levels, firstOhms, secondOhms));
                });
    List<TwoSweeps> all = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      all.add(
          new TwoSweeps(
              audio.channels().get(c),
              sweep.sweep(),
              firstOhms.get(c),
              first.get(c),
              secondOhms.isEmpty() ? firstOhms.get(c) : secondOhms.get(c),
              second.get(c),
              List.of(
                  firstLoads.get(c), (secondLoads.isEmpty() ? firstLoads : secondLoads).get(c))));
    }
    return all;
  }

  /**
   * The drives with which no output takes more than before, though its load has changed. Whatever
   * its own impedance, be it none or much, volts fall at most as the load does where that is less,
   * and rise at most as the load does where it is more; so power never rises by more than the ratio
   * of the loads.
   */
  private static List<Levelling.Level> within(
      List<Levelling.Level> levels, List<Double> before, List<Double> now) {
    List<Levelling.Level> within = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      double ratio = now.get(c) / before.get(c);
      within.add(levels.get(c).lowered(Math.sqrt(Math.min(ratio, 1 / ratio))));
    }
    return within;
  }

  private static List<Double> loads(ToneBench audio) throws InstrumentException {
    List<Double> ohms = new ArrayList<>();
    for (ToneBench.Channel channel : audio.channels()) {
      ohms.add(audio.loadOhms(channel));
    }
    return ohms;
  }

  /** How well each load is known. */
  private static List<Factor> known(ToneBench audio) {
    return audio.channels().stream()
        .map(channel -> audio.trust().map(trust -> trust.load(channel)).orElse(Factor.EXACT))
        .toList();
  }

  /** Why the two cannot be trusted; empty if they can. */
  @Override
  public String trouble() {
    return first.good() ? second.trouble() : first.trouble();
  }

  /** The frequencies to draw curves at. */
  double[] frequencies() {
    return ResponseFigures.logSpaced(sweep.startHz(), sweep.endHz(), POINTS_PER_OCTAVE);
  }
}
