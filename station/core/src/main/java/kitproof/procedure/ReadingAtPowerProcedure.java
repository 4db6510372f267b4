package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.Staircase;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Any meter quantity while the unit gives a stated output power, such as mains power at rated
 * output: the mean of n readings and their spread.
 *
 * <p>The drive is found from below as everywhere, then one tone is held for as long as the readings
 * take. Those count that began after {@code settle} of the tone and were over before its end. A
 * reading is taken before the tone, so that the meter has its function chosen and its time is
 * known.
 */
final class ReadingAtPowerProcedure implements Procedure<ReadingAtPowerProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power of each channel driven") @In(Unit.WATT) @Bounds(low = 1e-6)
          Quantity power,
      @Meaning("the tone") @In(Unit.HERTZ) @Initially("1 kHz") @Bounds(low = 10) Quantity frequency,
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the result's name") String result,
      @Meaning("how long the tone is held before a reading counts")
          @Initially("1 s")
          @Bounds(low = 0)
          Duration settle,
      @Meaning("how many readings") @Initially("5") @Bounds(low = 1, high = 100) int count,
      @Meaning("from one reading to the next, at least") @Initially("200 ms") @Bounds(low = 0.001)
          Duration every) {}

  /** A tone that has strayed further from its power than this is not at that power: 0.1 dB. */
  private static final double STRAYED_DB = 0.1;

  /** If a reading took longer than those before, the tone is held again for those missing. */
  private static final int MOST_TONES = 4;

  /** Room for readings that take a little longer than those before. */
  private static final double SPARE = 1.1;

  /** Room for one reading that an interlock takes in between. */
  private static final int BESIDE = 1;

  private static final double BLOCK_SECONDS = 0.1;

  @Override
  public String id() {
    return "reading-at-power";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    Conditions more = more(settings);
    List<Outline.Promise> promises = new ArrayList<>();
    promises.add(
        new Outline.Promise(settings.result, more, null, false).known(Outline.Basis.METER));
    if (settings.count > 1) {
      promises.add(
          new Outline.Promise(spreadOf(settings), more, null, false).known(Outline.Basis.OBSERVED));
    }
    Duration tone = settings.settle.plus(settings.every.multipliedBy(settings.count + BESIDE));
    return new Outline(
            promises,
            List.of(
                new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, ""),
                new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
            true,
            Outline.MainsUse.NONE,
            tone.plusSeconds(3))
        .driving(settings.power, tone);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    double hertz = settings.frequency.in(Unit.HERTZ);
    List<Levelling.Level> levels = Levelling.toPower(audio, hertz, settings.power);
    for (Levelling.Level level : levels) {
      if (!level.found()) {
        return outline(settings).invalid(bench.conditions(), level.trouble());
      }
    }
    Meter meter = bench.meter(settings.meter);
    Duration before = bench.elapsed();
    var unused = meter.read(settings.function);
    Duration reading = bench.elapsed().minus(before);
    Duration beyond = Duration.ZERO;
    List<Reading> readings = new ArrayList<>();
    for (int tone = 0; tone < MOST_TONES && readings.size() < settings.count; tone++) {
      Duration each = reading.compareTo(settings.every) > 0 ? reading : settings.every;
      double seconds =
          seconds(settings.settle)
              + seconds(beyond)
              + seconds(each) * (SPARE * (settings.count - readings.size()) + BESIDE);
      Held held = new Held(audio, audio.tone(hertz, BLOCK_SECONDS), levels, seconds);
      StepBench.Beside<String> beside =
          bench.readWhilePlaying(
              settings.meter,
              settings.function,
              settings.settle,
              settings.every,
              () -> held.trouble(settings.power, seconds(settings.settle)));
      if (!beside.result().isEmpty()) {
        return outline(settings).invalid(bench.conditions(), beside.result());
      }
      readings.addAll(beside.readings());
      reading = longer(reading, beside.longestReading());
      beyond = longer(beyond, beside.beyondSignal());
    }
    return results(
        settings,
        bench.conditions().and(more(settings)),
        readings,
        MeterTrust.of(bench, settings.meter, settings.function));
  }

  /** A tone that is held on every channel. */
  private record Held(
      ToneBench audio, CoherentTone tone, List<Levelling.Level> levels, double seconds) {
    /** Plays it; why it was not at its power all the time, empty if it was. */
    String trouble(Quantity power, double settleSeconds) throws InstrumentException {
      double rate = audio.sampleRateHz();
      int least = Staircase.moveSamples(tone.frequencyHz(), rate) + 1;
      int samples = Math.max(least, (int) Math.ceil(seconds * rate) - tone.blockLength());
      double[] unit = new Staircase(tone, samples, new double[] {1}).samples();
      Capture capture =
          audio.exchange(
              levels.stream()
                  .map(level -> ToneBench.scaled(unit, level.drivePeakVolts()))
                  .toList());
      int settled = (int) Math.min(samples, Math.max(least, settleSeconds * rate));
      audio.settled(settled);
      for (int c = 0; c < levels.size(); c++) {
        for (int from : new int[] {settled, samples}) {
          String trouble = strayed(capture, c, from, power);
          if (!trouble.isEmpty()) {
            return trouble;
          }
        }
      }
      return "";
    }

    private String strayed(Capture capture, int c, int from, Quantity power)
        throws InstrumentException {
      ToneBench.Channel channel = audio.channels().get(c);
      Band band = new Band(tone.frequencyHz() / 2, audio.sampleRateHz() / 2);
      ToneBench.Shot shot = audio.shot(capture, channel, from, tone, band, 2);
      if (shot.good().isEmpty()) {
        return shot.trouble();
      }
      double watts = Levels.watts(shot.good().get().levelVolts(), audio.loadOhms(channel));
      return Math.abs(Levels.db(Math.sqrt(watts / power.in(Unit.WATT)))) <= STRAYED_DB
          ? ""
          : String.format(
              Locale.ROOT, "the output did not stay at %s: it went to %.2f W", power, watts);
    }
  }

  private List<Measurement> results(
      Settings settings, Conditions conditions, List<Reading> readings, MeterTrust trust) {
    if (readings.size() < settings.count) {
      String trouble =
          String.format(
              Locale.ROOT,
              "only %d of %d readings were taken while the tone was on",
              readings.size(),
              settings.count);
      return outline(settings).invalid(conditions, trouble);
    }
    List<Meters.Sample> samples =
        readings.subList(0, settings.count).stream().map(r -> Meters.Sample.of(0, r)).toList();
    return MeanReading.of(samples)
        .results(settings.result, settings.count > 1 ? spreadOf(settings) : "", conditions, trust);
  }

  private static Duration longer(Duration a, Duration b) {
    return a.compareTo(b) >= 0 ? a : b;
  }

  private static double seconds(Duration duration) {
    return duration.toNanos() / 1e9;
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display())
        .with("frequency", settings.frequency.display());
  }

  private static String spreadOf(Settings settings) {
    return settings.result + " spread";
  }
}
