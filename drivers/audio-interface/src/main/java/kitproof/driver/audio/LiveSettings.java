package kitproof.driver.audio;

import java.time.Duration;
import java.util.Optional;
import kitproof.driver.Settings;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * What a bench file says of a device that plays and captures.
 *
 * @param wiring names on channels
 * @param bits of a sample: 16, 24 or 32
 * @param outputDevice the device's name or a part of it; empty for the first that fits
 * @param inputDevice likewise
 * @param align how the stimulus is found in the capture
 * @param latency where it is expected if it is not looked for
 * @param markerLevel of full scale, above 0 to 1
 * @param reference the straight connection from output to input, if there is one
 * @param buffer how much the device holds
 * @param timeout how long a device may neither give nor take samples
 */
record LiveSettings(
    Wiring wiring,
    int bits,
    String outputDevice,
    String inputDevice,
    Align align,
    Duration latency,
    double markerLevel,
    Optional<Reference> reference,
    Duration buffer,
    Duration timeout) {

  private static final Duration LONGEST_LATENCY = Duration.ofMillis(200);

  /** How the stimulus is found in the capture. */
  enum Align {
    MARKER,
    NONE;

    @Override
    public String toString() {
      return this == MARKER ? "marker" : "none";
    }
  }

  /**
   * A wire from output to input past the unit.
   *
   * @param input the device's channel, from 0
   * @param output the channel from 0 that plays nothing but markers; empty if the wire comes from
   *     an output that drives the unit
   */
  record Reference(int input, Optional<Integer> output) {}

  static LiveSettings read(Settings settings) {
    Wiring wiring = Wiring.read(settings);
    int bits = settings.parsedOr("bits", "16, 24 or 32", 24, LiveSettings::parseBits);
    Align align = settings.choice("align", Align.class, Align.MARKER);
    Duration latency = settings.duration("latency", Duration.ZERO);
    if (latency.compareTo(LONGEST_LATENCY) > 0) {
      settings.reject("latency", "a time up to " + LONGEST_LATENCY.toMillis() + " ms");
    }
    if (align == Align.MARKER && settings.has("latency")) {
      settings.reject("latency", "a latency only beside \"align: none\"");
    }
    double level =
        settings.parsedOr(
            "marker-level", "a level below full scale", 0.01, LiveSettings::parseLevel);
    return new LiveSettings(
        wiring,
        bits,
        settings.text("output-device", ""),
        settings.text("input-device", ""),
        align,
        latency,
        level,
        reference(settings, wiring, align),
        bounded(settings, "buffer", 100, 10, 1_000),
        bounded(settings, "timeout", 3_000, 100, 60_000));
  }

  private static Optional<Reference> reference(Settings settings, Wiring wiring, Align align) {
    Settings part = settings.part("reference");
    if (!settings.has("reference")) {
      return Optional.empty();
    }
    if (align == Align.NONE) {
      settings.reject("reference", "no reference beside \"align: none\"");
    }
    if (!part.has("input")) {
      part.reject("input", "the device's input channel that the reference comes in at");
    }
    int input = part.integer("input", 1, Wiring.MOST_CHANNELS, 1) - 1;
    int output = part.integer("output", 1, Wiring.MOST_CHANNELS, Wiring.MOST_CHANNELS) - 1;
    if (!part.has("output")) {
      return Optional.of(new Reference(input, Optional.empty()));
    }
    if (wiring.outputChannels().contains(output)) {
      part.reject("output", "a channel that is none of the outputs");
    }
    return Optional.of(new Reference(input, Optional.of(output)));
  }

  private static Duration bounded(Settings settings, String key, int initial, int low, int high) {
    Duration read = settings.duration(key, Duration.ofMillis(initial));
    if (read.toMillis() < low || read.toMillis() > high) {
      settings.reject(key, "a time from " + low + " ms to " + high + " ms");
      return Duration.ofMillis(initial);
    }
    return read;
  }

  private static int parseBits(String text) {
    return switch (text) {
      case "16" -> 16;
      case "24" -> 24;
      case "32" -> 32;
      default -> throw new IllegalArgumentException("16, 24 or 32");
    };
  }

  private static double parseLevel(String text) {
    double decibels = Quantity.parse(text, Unit.DECIBEL).value();
    if (decibels < -80 || decibels > 0) {
      throw new IllegalArgumentException("from \"-80 dB\" to \"0 dB\" of full scale");
    }
    return Math.pow(10, decibels / 20);
  }
}
