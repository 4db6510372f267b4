package kitproof.procedure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntFunction;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.CoherentTone;
import kitproof.signal.Fade;
import kitproof.signal.Staircase;

/**
 * What a channel gave while a repeating stimulus, or silence, was played, after it had settled.
 *
 * @param channel whose it is
 * @param volts as long as asked for; empty if there is trouble
 * @param trouble why there are none; empty if there are
 */
record Block(ToneBench.Channel channel, double[] volts, String trouble)
    implements HeardProcedure.Heard {
  /**
   * Plays a stimulus on all channels, each with its own drive.
   *
   * @param levels the drive of each channel; one that is not found stays silent
   * @param length samples of the block
   * @param hz the tone, or the lowest frequency of what is played
   * @param unit the stimulus of so many samples, for a drive of 1; it repeats every block
   */
  static List<Block> driven(
      ToneBench audio,
      List<Levelling.Level> levels,
      int length,
      double hz,
      IntFunction<double[]> unit)
      throws InstrumentException {
    return driven(audio, levels, length, hz, unit, Settle.AT_REST, Settle.OFFSET_AT_REST);
  }

  /** The same for a look on the way to another drive, which need not have settled so far. */
  static List<Block> onTheWay(
      ToneBench audio,
      List<Levelling.Level> levels,
      int length,
      double hz,
      IntFunction<double[]> unit)
      throws InstrumentException {
    return driven(audio, levels, length, hz, unit, Settle.ON_THE_WAY, Double.POSITIVE_INFINITY);
  }

  private static List<Block> driven(
      ToneBench audio,
      List<Levelling.Level> levels,
      int length,
      double hz,
      IntFunction<double[]> unit,
      double within,
      double offset)
      throws InstrumentException {
    if (levels.stream().noneMatch(Levelling.Level::found)) {
      return unplayed(audio, levels);
    }
    int fade = Staircase.moveSamples(hz, audio.sampleRateHz());
    int[] stairs = levels.stream().mapToInt(level -> level.found() ? 1 : 0).toArray();
    Settle.Played played =
        audio
            .settle()
            .play(
                audio,
                hz,
                length,
                stairs,
                within,
                offset,
                samples -> {
                  double[] once = Fade.inAndOut(unit.apply(samples + length + fade), fade, fade);
                  return levels.stream()
                      .map(level -> ToneBench.scaled(once, level.drivePeakVolts()))
                      .toList();
                });
    List<Block> blocks = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Levelling.Level level = levels.get(c);
      blocks.add(of(audio, played, c, length, level.trouble()));
    }
    return blocks;
  }

  /** Plays a block of a tone on all channels, each with its own drive. */
  static List<Block> ofTone(ToneBench audio, List<Levelling.Level> levels, CoherentTone tone)
      throws InstrumentException {
    return driven(
        audio, levels, tone.blockLength(), tone.frequencyHz(), length -> tone.samples(1, length));
  }

  /** Listens while nothing is played. */
  static List<Block> silent(ToneBench audio, int length) throws InstrumentException {
    // From the most sensitive range on: what is louder than that is taken again in the next.
    audio.ranges().expect(0);
    Settle.Played played = new Settle.Played(Settle.silence(audio, length), 0);
    List<Block> blocks = new ArrayList<>();
    for (int c = 0; c < audio.channels().size(); c++) {
      blocks.add(of(audio, played, c, length, ""));
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
      ToneBench audio, Settle.Played played, int channel, int length, String before) {
    Capture capture = played.capture();
    int from = played.samples();
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
