package kitproof.driver.audio;

import java.time.Duration;
import java.util.List;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.DataLine;
import javax.sound.sampled.LineUnavailableException;
import javax.sound.sampled.SourceDataLine;
import javax.sound.sampled.TargetDataLine;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;

/**
 * A device that is open both ways; silent once it is closed.
 *
 * @param device its name, or the output's and the input's
 */
record Lines(SourceDataLine out, TargetDataLine in, String device) implements AutoCloseable {

  /**
   * Opens the devices that the settings name, in the first of the fitting formats that works.
   *
   * @throws InstrumentException UNREACHABLE if a device is not there or in use, RANGE if it does
   *     not offer what is wanted
   */
  static Lines open(LiveSettings settings) throws InstrumentException {
    Opened<TargetDataLine> in =
        open(
            TargetDataLine.class,
            Devices.fitting(TargetDataLine.class, settings),
            settings.buffer(),
            TargetDataLine::open);
    try {
      Opened<SourceDataLine> out =
          open(
              SourceDataLine.class,
              Devices.fitting(SourceDataLine.class, settings),
              settings.buffer(),
              SourceDataLine::open);
      String device = out.device.equals(in.device) ? out.device : out.device + " and " + in.device;
      return new Lines(out.line, in.line, device);
    } catch (InstrumentException | RuntimeException e) {
      in.line.close();
      throw e;
    }
  }

  @Override
  public void close() {
    out.stop();
    out.flush();
    out.close();
    in.stop();
    in.close();
  }

  private record Opened<L>(L line, String device) {}

  private interface Opening<L> {
    void open(L line, AudioFormat format, int bytes) throws LineUnavailableException;
  }

  private static <L extends DataLine> Opened<L> open(
      Class<L> type, List<Devices.Offer> offers, Duration buffer, Opening<L> opening)
      throws InstrumentException {
    String reasons = "";
    for (Devices.Offer offer : offers) {
      AudioFormat format = offer.format();
      double frames = format.getFrameRate() * buffer.toNanos() / 1e9;
      try {
        L line = type.cast(offer.mixer().getLine(new DataLine.Info(type, format)));
        opening.open(line, format, (int) Math.round(frames) * format.getFrameSize());
        return new Opened<>(line, offer.mixer().getMixerInfo().getName());
      } catch (LineUnavailableException | IllegalArgumentException | SecurityException e) {
        reasons += "\n  " + offer.mixer().getMixerInfo().getName() + ", " + format + ": " + e;
      }
    }
    throw new InstrumentException(Kind.UNREACHABLE, "the audio device does not open:" + reasons);
  }
}
