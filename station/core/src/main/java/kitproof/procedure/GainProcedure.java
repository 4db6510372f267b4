package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Levels;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Output over input at the stated output power, in dB (IEC 60268-3, from memory). */
final class GainProcedure implements Procedure<GainProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power to measure at") @In(Unit.WATT) @Bounds(low = 1e-6) Quantity power,
      @Meaning("the tone") @In(Unit.HERTZ) @Initially("1 kHz") @Bounds(low = 1)
          Quantity frequency) {}

  @Override
  public String id() {
    return "gain";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return Outline.ofDriving(
            List.of(
                Outline.Promise.ofChannel("gain", more(settings), Unit.DECIBEL, false)
                    .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT)),
            settings.audio,
            Duration.ofSeconds(3))
        .driving(settings.power, Duration.ZERO);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    double hertz = settings.frequency.in(Unit.HERTZ);
    List<Levelling.Level> levels = Levelling.toPower(audio, hertz, settings.power);
    List<Measurement> measurements = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      ToneBench.Channel channel = audio.channels().get(c);
      Levelling.Level level = levels.get(c);
      measurements.add(
          audio.known(
              gain(level, channel.conditions().and(more(settings))),
              trust -> trust.gain(channel, hertz).times(level.observed())));
    }
    return measurements;
  }

  private static Measurement gain(Levelling.Level level, Conditions conditions) {
    if (!level.found()) {
      return Measurement.invalid("gain", conditions, level.trouble());
    }
    double input = level.drivePeakVolts() / Math.sqrt(2);
    return Measurement.of(
        "gain", conditions, Quantity.of(Levels.db(level.outputVolts() / input), Unit.DECIBEL));
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display())
        .with("frequency", settings.frequency.display());
  }
}
