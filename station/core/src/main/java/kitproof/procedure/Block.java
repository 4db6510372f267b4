package kitproof.procedure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntFunction;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Fade;

/**
 * What a channel gave while a repeating stimulus, or silence, was played, after it had settled.
 *
 * @param channel whose it is
 * @param volts as long as asked for; empty if there is trouble
 * @param trouble why there are none; empty if there are
 */
record Block(ToneBench.Channel channel, double[] volts, String trouble) {
  private static final double LEAD_SECONDS = 0.15;
  private static final double FADE_SECONDS = 0.02;

  /** After a drive has ended the coupling capacitors take longer than from tone to tone. */
  private static final double SILENT_LEAD_SECONDS = 0.4;

  /**
   * Plays a stimulus on all channels, each with its own drive.
   *
   * @param levels the drive of each channel; one that is not found stays silent
   * @param length samples of the block
   * @param unit the stimulus of so many samples, for a drive of 1; it repeats every block
   */
  static List<Block> driven(
      ToneBench audio, List<Levelling.Level> levels, int length, IntFunction<double[]> unit)
      throws InstrumentException {
    if (levels.stream().noneMatch(Levelling.Level::found)) {
      return unplayed(audio, levels);
    }
    int lead = (int) Math.round(LEAD_SECONDS * audio.sampleRateHz());
    int fade = (int) Math.round(FADE_SECONDS * audio.sampleRateHz());
    double[] samples = Fade.inAndOut(unit.apply(lead + length + fade), fade, fade);
    List<double[]> stimuli = new ArrayList<>();
    for (Levelling.Level level : levels) {
      double drive = level.drivePeakVolts();
      stimuli.add(Arrays.stream(samples).map(volts -> volts * drive).toArray());
    }
    Capture capture = audio.exchange(stimuli);
    List<Block> blocks = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Levelling.Level level = levels.get(c);
      blocks.add(of(audio, capture, c, lead, length, level.trouble()));
    }
    return blocks;
  }

  /** Listens while nothing is played. */
  static List<Block> silent(ToneBench audio, int length) throws InstrumentException {
    int lead = (int) Math.round(SILENT_LEAD_SECONDS * audio.sampleRateHz());
    Capture capture = audio.exchange(new double[lead + length]);
    List<Block> blocks = new ArrayList<>();
    for (int c = 0; c < audio.channels().size(); c++) {
      blocks.add(of(audio, capture, c, lead, length, ""));
    }
    return blocks;
  }

  /** Blocks that hold nothing but this trouble. */
  static List<Block> unusable(ToneBench audio, String trouble) {
    return audio.channels().stream()
        .map(channel -> new Block(channel, new double[0], trouble))
        .toList();
  }

  private static Block of(
      ToneBench audio, Capture capture, int channel, int from, int length, String before) {
    ToneBench.Channel of = audio.channels().get(channel);
    String trouble = before.isEmpty() ? audio.trouble(capture, of) : before;
    double[] volts =
        trouble.isEmpty()
            ? Arrays.copyOfRange(audio.input(capture, of), from, from + length)
            : new double[0];
    return new Block(of, volts, trouble);
  }

  /** Blocks that say why there is no drive to play. */
  private static List<Block> unplayed(ToneBench audio, List<Levelling.Level> levels) {
    List<Block> blocks = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      blocks.add(new Block(audio.channels().get(c), new double[0], levels.get(c).trouble()));
    }
    return blocks;
  }
}
