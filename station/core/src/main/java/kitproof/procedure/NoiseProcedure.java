package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.signal.NoiseWeighting;
import kitproof.signal.QuasiPeakMeter;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * Noise at the output, hum included, while nothing is played and the inputs are closed by what the
 * bench's mute closes them with: rms in a band without weighting and with the A and C curves (IEC
 * 61672-1; C leaves hum almost as it is, A almost without it), with the curve of ITU-R BS.468-4 as
 * rms and as its quasi-peak meter reads it; and the ratio of the rated output to it (IEC 60268-3,
 * from memory).
 */
final class NoiseProcedure extends HeardProcedure<NoiseProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the rated output power, to which the signal-to-noise ratio refers")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          Quantity rated,
      @Meaning("the measuring band") @In(Unit.HERTZ) @Initially("20 Hz..20 kHz") @Bounds(low = 1)
          QuantityRange band,
      @Meaning("how long to listen; the quasi-peak meter needs about two seconds to rise")
          @Initially("2 s")
          @Bounds(low = 1)
          Duration listen) {
    Settings {
      if (band.low().equals(band.high())) {
        throw new IllegalArgumentException("a band that is wider than one frequency");
      }
    }
  }

  private static final String QUASI_PEAK = "quasi-peak";

  NoiseProcedure() {
    super("noise", Settings.class);
  }

  @Override
  String audio(Settings settings) {
    return settings.audio;
  }

  @Override
  Duration expected(Settings settings) {
    return settings.listen.plusSeconds(1);
  }

  @Override
  public Outline outline(Settings settings) {
    return Outline.ofListening(promises(settings), settings.audio, expected(settings));
  }

  @Override
  List<Outline.Promise> promises(Settings settings) {
    Conditions band =
        Conditions.of(
            "band", settings.band.low().display() + ".." + settings.band.high().display());
    List<Outline.Promise> promises = new ArrayList<>();
    for (String weighting : List.of("none", "A", "C", "ITU-R 468 rms", "ITU-R 468 quasi-peak")) {
      promises.add(
          Outline.Promise.ofChannel(
                  "noise", band.with("weighting", weighting), Unit.DECIBEL_VOLT, false)
              .known(Outline.Basis.INPUT, Outline.Basis.RESIDUAL));
    }
    for (String weighting : List.of("none", "A", "C")) {
      Conditions more = band.with("weighting", weighting).with("rated", settings.rated.display());
      promises.add(
          Outline.Promise.ofChannel("signal-to-noise ratio", more, Unit.DECIBEL, false)
              .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    }
    return promises;
  }

  @Override
  Take<Block> take(Settings settings, StepBench bench, ToneBench audio) throws InstrumentException {
    audio.requireLoads();
    double rate = audio.sampleRateHz();
    if (settings.band.high().in(Unit.HERTZ) > rate / 2) {
      String trouble = "the band reaches beyond half of the interface's sample rate";
      return new Take<>(Block.unusable(audio, trouble), block -> List.of());
    }
    Map<String, Double> rated = new HashMap<>();
    for (ToneBench.Channel channel : audio.channels()) {
      double volts = Levels.volts(settings.rated.in(Unit.WATT), audio.loadOhms(channel));
      rated.put(channel.name(), volts);
    }
    return new Take<>(
        Block.silent(audio, (int) (settings.listen.toNanos() / 1e9 * rate)),
        block ->
            figures(
                block.volts(),
                rate,
                settings,
                Objects.requireNonNull(rated.get(block.channel().name()))));
  }

  @Override
  Measurement noted(
      Settings settings, ToneBench audio, ToneBench.Channel channel, Measurement measurement)
      throws InstrumentException {
    if (!(measurement.figure() instanceof Figure.OfQuantity of)) {
      return measurement;
    }
    Band band = new Band(settings.band.low().in(Unit.HERTZ), settings.band.high().in(Unit.HERTZ));
    NoiseWeighting weighting =
        switch (measurement.conditions().values().getOrDefault("weighting", "")) {
          case "none" -> NoiseWeighting.UNWEIGHTED;
          case "A" -> NoiseWeighting.A;
          case "C" -> NoiseWeighting.C;
          default -> NoiseWeighting.ITU_468; // read as quasi-peak, too: near enough for a note
        };
    double own = audio.own().noiseVolts(channel, weighting.noiseBandwidthHz(band));
    double told = of.quantity().value();
    double volts =
        measurement.name().equals("noise")
            ? Levels.ratio(told)
            : Levels.volts(settings.rated.in(Unit.WATT), audio.loadOhms(channel))
                / Levels.ratio(told);
    Measurement noted = OwnResidual.notedNoise(measurement, volts, own);
    if (measurement.conditions().values().getOrDefault("weighting", "").endsWith(QUASI_PEAK)) {
      return audio.known(
          noted,
          trust ->
              trust
                  .noiseVolts(channel, band.lowHz(), band.highHz())
                  .times(QuasiPeakTrust.reading(band, settings.listen.toNanos() / 1e9))
                  .times(
                      trust.stationNoise(
                          audio.own().of(channel), volts, QuasiPeakTrust.OF_NOISE * own)));
    }
    double independent = weighting.noiseBandwidthHz(band) * settings.listen.toNanos() / 1e9;
    return audio.known(
        noted,
        trust -> {
          Factor noise =
              trust
                  .noiseVolts(channel, band.lowHz(), band.highHz())
                  .times(AudioTrust.noise(independent))
                  .times(trust.stationNoise(audio.own().of(channel), volts, own));
          return measurement.name().equals("noise")
              ? noise
              : trust.load(channel).power(0.5).over(noise);
        });
  }

  static List<Figure> figures(double[] volts, double rate, Settings settings, double rated) {
    Band band = new Band(settings.band.low().in(Unit.HERTZ), settings.band.high().in(Unit.HERTZ));
    double plain = NoiseWeighting.UNWEIGHTED.rms(volts, rate, band);
    double a = NoiseWeighting.A.rms(volts, rate, band);
    double c = NoiseWeighting.C.rms(volts, rate, band);
    double[] weighted = NoiseWeighting.ITU_468.applyTo(volts, rate, band);
    return List.of(
        dbv(plain),
        dbv(a),
        dbv(c),
        dbv(NoiseWeighting.rms(weighted)),
        dbv(QuasiPeakMeter.volts(weighted, rate)),
        ratio(rated, plain),
        ratio(rated, a),
        ratio(rated, c));
  }

  private static Figure dbv(double volts) {
    return Promised.figure(Promised.decibels(volts), Unit.DECIBEL_VOLT);
  }

  private static Figure ratio(double rated, double noise) {
    return Promised.figure(-Promised.decibels(noise / rated), Unit.DECIBEL);
  }
}
