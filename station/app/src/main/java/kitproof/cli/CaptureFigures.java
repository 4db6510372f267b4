package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.procedure.ToneMeasurements;
import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import kitproof.wav.WavFile;

/**
 * The figures of a tone in a saved capture.
 *
 * @param fullScalePeakVolts volts at full scale; 0 if unknown: then levels are relative to it
 * @param toneHertz the tone within a tenth; 0 if unknown
 * @param band of THD+N
 * @param loadOhms 0 if unknown
 * @param harmonics the highest
 * @param input what is known of the input
 */
record CaptureFigures(
    double fullScalePeakVolts,
    double toneHertz,
    QuantityRange band,
    double loadOhms,
    int harmonics,
    Input input) {

  /**
   * The input that made the captures.
   *
   * @param drivePeakVolts its amplitude; 0 if unknown
   * @param channel the channel that recorded it, from 1; 0 if none did
   * @param fullScalePeakVolts of that channel; 0 if unknown
   */
  record Input(double drivePeakVolts, int channel, double fullScalePeakVolts) {}

  /**
   * Every channel's figures.
   *
   * @param named whether the conditions say which file
   * @throws IOException if it cannot be read as WAV
   */
  List<Measurement> of(Path file, boolean named) throws IOException {
    WavFile wav = WavFile.read(file);
    if (input.channel > wav.channels()) {
      throw new IOException(
          "found no channel " + input.channel + "; expected one of 1 to " + wav.channels());
    }
    List<Measurement> measurements = new ArrayList<>();
    for (int channel = 0; channel < wav.channels(); channel++) {
      if (channel + 1 == input.channel) {
        continue;
      }
      Conditions conditions = Conditions.NONE;
      if (named) {
        conditions = conditions.with("file", file.toString());
      }
      if (wav.channels() > 1) {
        conditions = conditions.with("channel", String.valueOf(channel + 1));
      }
      measurements.addAll(of(wav, channel, conditions));
    }
    return measurements;
  }

  private List<Measurement> of(WavFile wav, int channel, Conditions conditions) {
    Conditions inBand =
        conditions.with("band", band.low().display() + ".." + band.high().display());
    if (wav.clipped(channel)) {
      return invalid("the capture reaches full scale", conditions, inBand);
    }
    if (band.high().in(Unit.HERTZ) > wav.sampleRateHz() / 2.0) {
      return invalid(
          "the band reaches beyond half of the capture's sample rate", conditions, inBand);
    }
    try {
      ToneFigures figures = tone(wav, channel, fullScalePeakVolts, toneHertz);
      List<Measurement> all = figures(figures, conditions, inBand);
      all.addAll(gain(wav, figures, conditions));
      return all;
    } catch (IllegalArgumentException e) {
      return invalid(String.valueOf(e.getMessage()), conditions, inBand);
    }
  }

  private ToneFigures tone(WavFile wav, int channel, double fullScale, double roughHz) {
    double peak = fullScale == 0 ? 1 : fullScale;
    double[] volts = wav.channel(channel);
    for (int i = 0; i < volts.length; i++) {
      volts[i] *= peak;
    }
    Band limits = new Band(band.low().in(Unit.HERTZ), band.high().in(Unit.HERTZ));
    return roughHz == 0
        ? ToneAnalysis.fitted(volts, wav.sampleRateHz(), limits, harmonics)
        : ToneAnalysis.fitted(volts, wav.sampleRateHz(), roughHz, limits, harmonics);
  }

  /** Output over input, if the input is known. */
  private List<Measurement> gain(WavFile wav, ToneFigures output, Conditions conditions) {
    Conditions more =
        conditions.with("frequency", Quantity.of(output.frequencyHz(), Unit.HERTZ).display());
    double volts = input.drivePeakVolts / Math.sqrt(2);
    if (input.channel > 0) {
      if (wav.clipped(input.channel - 1)) {
        return List.of(Measurement.invalid("gain", more, "the reference reaches full scale"));
      }
      try {
        volts =
            tone(wav, input.channel - 1, input.fullScalePeakVolts, output.frequencyHz())
                .levelVolts();
      } catch (IllegalArgumentException e) {
        return List.of(
            Measurement.invalid("gain", more, "no input on the reference: " + e.getMessage()));
      }
    }
    return volts == 0
        ? List.of()
        : List.of(
            Measurement.of(
                "gain", more, Quantity.of(Levels.db(output.levelVolts() / volts), Unit.DECIBEL)));
  }

  private List<Measurement> figures(ToneFigures figures, Conditions conditions, Conditions inBand) {
    List<Measurement> all = new ArrayList<>();
    all.add(
        Measurement.of("frequency", conditions, Quantity.of(figures.frequencyHz(), Unit.HERTZ)));
    if (fullScalePeakVolts == 0) {
      // A full-scale sine has an rms of 1/sqrt(2) of full scale and is 0 dB (AES17).
      double relative = figures.levelVolts() * Math.sqrt(2);
      all.add(Measurement.of("level", conditions, Quantity.of(Levels.db(relative), Unit.DECIBEL)));
    } else {
      double volts = figures.levelVolts();
      all.add(Measurement.of("level", conditions, Quantity.of(volts, Unit.VOLT)));
      if (loadOhms > 0) {
        all.add(
            Measurement.of(
                "power", conditions, Quantity.of(Levels.watts(volts, loadOhms), Unit.WATT)));
      }
    }
    all.addAll(ToneMeasurements.distortion(figures, conditions, inBand, harmonics));
    return all;
  }

  private List<Measurement> invalid(String reason, Conditions conditions, Conditions inBand) {
    List<Measurement> all = new ArrayList<>();
    all.add(Measurement.invalid("frequency", conditions, reason));
    all.add(Measurement.invalid("level", conditions, reason));
    all.addAll(ToneMeasurements.invalidDistortion(reason, conditions, inBand, harmonics));
    return all;
  }
}
