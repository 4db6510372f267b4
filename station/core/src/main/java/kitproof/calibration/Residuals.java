package kitproof.calibration;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import kitproof.document.Located;
import org.jspecify.annotations.Nullable;

/** What the station adds by itself to what it measures, as its calibration found it. */
public final class Residuals {
  private final Calibration calibration;
  private final String role;

  /** Of an audio interface. */
  public Residuals(Calibration calibration, String role) {
    this.calibration = calibration;
    this.role = role;
  }

  /**
   * Distortion and noise of a channel, output on input.
   *
   * @param thd over the tone
   * @param noise rms from 20 Hz to 20 kHz over full scale of the input in its range; with a tone
   *     there may be more of it than alone, which thd+n shows
   * @param degreesOfFreedom of both, by the standard uncertainty that thd+n has
   */
  public record Own(double thd, double noise, double degreesOfFreedom) {}

  /**
   * Of a channel in a range at a tone and level: of the tones calibrated the nearest, between its
   * levels by straight lines in decibels, held beyond them.
   *
   * @param range null on a bench without ranges
   * @param level of the tone over full scale of the input in its range, dB
   */
  public Optional<Own> at(String channel, @Nullable String range, double hertz, double level) {
    List<CalibrationDocument.Residual> here = in(channel, range);
    OptionalDouble tone =
        here.stream()
            .mapToDouble(each -> each.at().value())
            .boxed()
            .min(Comparator.comparingDouble(at -> Math.abs(Math.log(at / hertz))))
            .map(OptionalDouble::of)
            .orElseGet(OptionalDouble::empty);
    if (tone.isEmpty()) {
      return Optional.empty();
    }
    List<CalibrationDocument.Residual> levels =
        here.stream()
            .filter(each -> each.at().value() == tone.getAsDouble())
            .sorted(Comparator.comparingDouble(each -> each.level().value()))
            .toList();
    CalibrationDocument.Residual low = levels.get(0);
    CalibrationDocument.Residual high = levels.get(levels.size() - 1);
    for (CalibrationDocument.Residual each : levels) {
      low = each.level().value() <= level ? each : low;
    }
    for (int i = levels.size() - 1; i >= 0; i--) {
      high = levels.get(i).level().value() >= level ? levels.get(i) : high;
    }
    double span = high.level().value() - low.level().value();
    double part = span > 0 ? Math.max(0, Math.min(1, (level - low.level().value()) / span)) : 0;
    return Optional.of(
        new Own(
            ratio(between(low.thd().value(), high.thd().value(), part)),
            Math.max(
                ratio(between(low.noise().value(), high.noise().value(), part)),
                between(besides(low), besides(high), part)),
            Math.min(degreesOfFreedom(low), degreesOfFreedom(high))));
  }

  /** What of thd+n is no distortion, over full scale; 0 if thd+n is not told. */
  private static double besides(CalibrationDocument.Residual of) {
    if (of.thdPlusNoise() == null) {
      return 0;
    }
    double whole = ratio(of.thdPlusNoise().value());
    double thd = ratio(of.thd().value());
    return Math.sqrt(Math.max(0, whole * whole - thd * thd)) * ratio(of.level().value());
  }

  /** Of a standard uncertainty that is itself known to so much (JCGM 100:2008, G.4.2). */
  private static double degreesOfFreedom(CalibrationDocument.Residual of) {
    return of.u() == null ? Double.POSITIVE_INFINITY : known(of.u().value());
  }

  private static double known(double decibels) {
    double relative = decibels * Math.log(10) / 20;
    return relative > 0 ? 0.5 / (relative * relative) : Double.POSITIVE_INFINITY;
  }

  private static double ratio(double decibels) {
    return Math.pow(10, decibels / 20);
  }

  private static double between(double low, double high, double part) {
    return low + part * (high - low);
  }

  /** The least noise at any level over full scale of the input in this range. */
  public OptionalDouble noise(String channel, @Nullable String range) {
    return in(channel, range).stream().mapToDouble(each -> ratio(each.noise().value())).min();
  }

  private List<CalibrationDocument.Residual> in(String channel, @Nullable String range) {
    String place = CalibrationDocument.place(role, channel, range);
    return calibration.document().residuals().stream()
        .map(Located::value)
        .filter(r -> CalibrationDocument.place(r.role(), r.channel(), r.range()).equals(place))
        .toList();
  }

  /**
   * What of a driven channel comes in at another by the station itself.
   *
   * @param ratio to what is driven: the most of the two calibrated frequencies around the one asked
   *     for
   * @param degreesOfFreedom of it, by its standard uncertainty
   */
  public record Leakage(double ratio, double degreesOfFreedom) {}

  /** What of a driven channel comes in at another by the station itself, if that is told. */
  public Optional<Leakage> leakage(String from, String to, double hertz) {
    return calibration
        .leakage(role, from, to, hertz)
        .map(found -> new Leakage(ratio(found.value().value()), known(found.standard())));
  }
}
