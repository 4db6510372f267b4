package kitproof.cli;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;

/**
 * Recordings of formulas by a recorder whose clock is off, that began when it liked.
 *
 * @param ppm by how much its clock is fast
 * @param delay seconds before the recording begins
 * @param dc its offset, of full scale
 */
record Recording(
    WavEncoding encoding, int rate, double seconds, double ppm, double delay, double dc) {

  /** The samples of a function of the time on the clock that plays. */
  double[] samples(DoubleUnaryOperator ofTime) {
    Random random = new Random(17);
    double[] samples = new double[(int) (seconds * rate)];
    for (int n = 0; n < samples.length; n++) {
      double t = n / (rate * (1 + ppm * 1e-6)) + delay;
      samples[n] = ofTime.applyAsDouble(t) + dc + 1e-7 * random.nextGaussian();
    }
    return samples;
  }

  /** A file with a channel for each function. */
  Path wav(Path folder, DoubleUnaryOperator... channels) throws IOException {
    double[][] samples = new double[channels.length][];
    for (int c = 0; c < channels.length; c++) {
      samples[c] = samples(channels[c]);
    }
    Path file = Files.createTempFile(folder, "capture", ".wav");
    WavFile.of(encoding, rate, samples).write(file);
    return file;
  }

  static double sine(double hz, double t) {
    return Math.sin(2 * Math.PI * hz * t);
  }

  /** The one result of this name, of a channel if one is named. */
  static JsonNode result(Cli cli, String name, String... channel) {
    JsonNode found = null;
    for (JsonNode result : cli.json().get("results")) {
      boolean wanted =
          channel.length == 0
              || result.get("conditions").path("channel").asText().equals(channel[0]);
      if (wanted && result.get("name").asText().equals(name)) {
        if (found != null) {
          throw new AssertionError("a second " + name + " in " + cli.out());
        }
        found = result;
      }
    }
    if (found == null) {
      throw new AssertionError(name + " in " + cli.out() + cli.err());
    }
    return found;
  }

  static double value(Cli cli, String name, String unit, String... channel) {
    JsonNode result = result(cli, name, channel);
    if (!result.get("unit").asText().equals(unit) || result.has("invalid")) {
      throw new AssertionError(result.toString());
    }
    return result.get("value").asDouble();
  }

  /** The curve's value at the point nearest to a place. */
  static double at(Cli cli, String name, double x) {
    JsonNode result = result(cli, name);
    int best = 0;
    for (int i = 0; i < result.get("x").size(); i++) {
      if (Math.abs(result.get("x").get(i).asDouble() - x)
          < Math.abs(result.get("x").get(best).asDouble() - x)) {
        best = i;
      }
    }
    return result.get("y").get(best).asDouble();
  }
}
