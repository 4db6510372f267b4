package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Staircase;
import kitproof.value.Quantity;

/**
 * Levels several tones at once: each round plays all that are not there yet, one after the other in
 * one stream, each with the drive that its own last shot asks for.
 *
 * <p>The drive of one tone does not depend on what came back of another, so that many tones need no
 * more exchanges than a single one, and what came back of a stream is analysed while the next one
 * plays. Streams are of a few seconds: one that has lost samples is taken again as a whole.
 */
final class TonesInTurn {
  private static final double LONGEST_STREAM_SECONDS = 3;

  private final ToneBench audio;
  private final Band band;
  private final int harmonics;

  private TonesInTurn(ToneBench audio, Band band, int harmonics) {
    this.audio = audio;
    this.band = band;
    this.harmonics = harmonics;
  }

  /** A tone on its way to its level on all channels. */
  private static final class Turn {
    final CoherentTone tone;
    final List<Levelling.Search> searches;
    double settleSeconds;
    int shots;

    Turn(CoherentTone tone, List<Levelling.Search> searches) {
      this.tone = tone;
      this.searches = searches;
    }

    boolean isPending() {
      return shots < Levelling.MOST_SHOTS && !Levelling.allOver(searches);
    }
  }

  /**
   * A tone in a stream.
   *
   * @param settle samples before its block
   * @param within how far it must have settled there
   * @param drives by channel
   */
  private record Stair(Turn turn, int settle, double within, double[] drives) {
    double[] samples() {
      return new Staircase(turn.tone, settle, new double[] {1}).samples();
    }

    int heard() {
      return settle + turn.tone.blockLength();
    }
  }

  /**
   * What came back of a stair on all channels.
   *
   * @param took seconds to settle
   */
  private record Found(List<ToneBench.Shot> shots, double took) {}

  /**
   * The levels of each tone on each channel.
   *
   * @param tones the tones, in the order of playing
   * @param gains what is known of the gain at each of them, by channel; takes what is found
   */
  static List<List<Levelling.Level>> toPower(
      ToneBench audio,
      List<CoherentTone> tones,
      List<List<RisingGain>> gains,
      Band band,
      int harmonics,
      Quantity power)
      throws InstrumentException {
    TonesInTurn inTurn = new TonesInTurn(audio, band, harmonics);
    List<Turn> turns = new ArrayList<>();
    for (int i = 0; i < tones.size(); i++) {
      turns.add(new Turn(tones.get(i), Levelling.searches(audio, power, gains.get(i))));
    }
    while (turns.stream().anyMatch(Turn::isPending)) {
      inTurn.round(turns.stream().filter(Turn::isPending).toList());
    }
    List<List<Levelling.Level>> levels = new ArrayList<>();
    for (Turn turn : turns) {
      turn.searches.stream().filter(search -> !search.over).forEach(Levelling.Search::giveUp);
      levels.add(turn.searches.stream().map(search -> search.level).toList());
    }
    return levels;
  }

  /**
   * How long the longest stream is at least, whatever time the unit takes to settle: all tones, or
   * as many as leave no room for another.
   *
   * @param listenSeconds from a tone's frequency to the length of its block
   */
  static Duration longest(double[] hertz, DoubleUnaryOperator listenSeconds) {
    double all = Arrays.stream(hertz).map(listenSeconds).sum();
    double block = Arrays.stream(hertz).map(listenSeconds).max().orElse(0);
    double settle = Arrays.stream(hertz).map(Settle::longestSeconds).max().orElse(0);
    double full = Math.max(block, LONGEST_STREAM_SECONDS - settle - block);
    return Duration.ofNanos(Math.round(1e9 * Math.min(all, full)));
  }

  private void round(List<Turn> turns) throws InstrumentException {
    List<Stair> all = new ArrayList<>();
    List<Meanwhile<Found>> found = new ArrayList<>();
    List<Stair> stream = new ArrayList<>();
    double seconds = 0;
    for (Turn turn : turns) {
      Stair stair = stair(turn);
      double longer = stair.heard() / audio.sampleRateHz();
      if (!stream.isEmpty() && seconds + longer > LONGEST_STREAM_SECONDS) {
        found.addAll(play(stream));
        stream.clear();
        seconds = 0;
      }
      stream.add(stair);
      all.add(stair);
      seconds += longer;
    }
    found.addAll(play(stream));
    for (int i = 0; i < all.size(); i++) {
      take(all.get(i), found.get(i).get());
    }
  }

  private Stair stair(Turn turn) {
    turn.settleSeconds =
        Math.max(turn.settleSeconds, audio.settle().seconds(turn.tone.frequencyHz()));
    return new Stair(
        turn,
        (int) Math.ceil(turn.settleSeconds * audio.sampleRateHz()),
        Levelling.within(turn.searches),
        turn.searches.stream().mapToDouble(search -> search.drive).toArray());
  }

  /** Plays one stream; each stair is being analysed when this returns. */
  private List<Meanwhile<Found>> play(List<Stair> stream) throws InstrumentException {
    List<double[]> units = stream.stream().map(Stair::samples).toList();
    int length = units.stream().mapToInt(unit -> unit.length).sum();
    List<double[]> stimuli = new ArrayList<>();
    for (int c = 0; c < audio.channels().size(); c++) {
      double[] stimulus = new double[length];
      int at = 0;
      for (int s = 0; s < stream.size(); s++) {
        for (double sample : units.get(s)) {
          stimulus[at++] = sample * stream.get(s).drives[c];
        }
      }
      stimuli.add(stimulus);
    }
    Capture capture = audio.exchange(stimuli);
    audio.settled(length - stream.stream().mapToInt(stair -> stair.turn.tone.blockLength()).sum());
    List<Meanwhile<Found>> found = new ArrayList<>();
    int at = 0;
    for (int s = 0; s < stream.size(); s++) {
      Stair stair = stream.get(s);
      Capture part = ToneBench.part(capture, at, stair.heard());
      List<String> troubles = new ArrayList<>();
      for (int c = 0; c < audio.channels().size(); c++) {
        troubles.add(
            stair.drives[c] == 0
                ? "the channel is not driven"
                : audio.trouble(part, audio.channels().get(c)));
      }
      found.add(Meanwhile.begin(() -> found(stair, part, troubles)));
      at += units.get(s).length;
    }
    return found;
  }

  private Found found(Stair stair, Capture part, List<String> troubles) {
    CoherentTone tone = stair.turn.tone;
    List<ToneBench.Shot> shots = new ArrayList<>();
    double took = 0;
    for (int c = 0; c < troubles.size(); c++) {
      if (!troubles.get(c).isEmpty()) {
        shots.add(new ToneBench.Shot(null, troubles.get(c), false));
        continue;
      }
      double[] volts = audio.input(part, audio.channels().get(c));
      shots.add(audio.shot(volts, stair.settle, tone, band, harmonics));
      took =
          Math.max(
              took, Settle.took(audio, volts, 0, volts.length, tone.frequencyHz(), stair.within));
    }
    return new Found(shots, took);
  }

  /** Takes what a stair came to, unless it had not settled: then it gets twice the time. */
  private void take(Stair stair, Found found) {
    Turn turn = stair.turn;
    if (found.took > turn.settleSeconds && turn.settleSeconds < Settle.LONGEST_SECONDS) {
      turn.settleSeconds = Math.min(Settle.LONGEST_SECONDS, 2 * turn.settleSeconds);
      return;
    }
    audio.settle().learn(turn.settleSeconds, found.took);
    turn.shots++;
    for (int c = 0; c < turn.searches.size(); c++) {
      ToneBench.Shot shot = found.shots.get(c);
      audio.note(turn.tone, audio.channels().get(c), stair.drives[c], shot, stair.within);
      if (!turn.searches.get(c).over) {
        turn.searches.get(c).take(shot);
      }
    }
  }
}
