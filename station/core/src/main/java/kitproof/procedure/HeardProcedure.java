package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.BiFunction;
import java.util.function.Function;
import java.util.function.UnaryOperator;
import kitproof.driver.InstrumentException;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/**
 * The frame of a procedure that hears something of each channel and finds the same figures in each:
 * it opens the interface, asks what was heard, and gives every channel the results promised, with
 * the reason where there is none.
 *
 * @param <S> the record of its settings
 */
abstract class HeardProcedure<S extends Record> implements Procedure<S> {
  private final String id;
  private final Class<S> settings;

  HeardProcedure(String id, Class<S> settings) {
    this.id = id;
    this.settings = settings;
  }

  /** What was heard of one channel. */
  interface Heard {
    /** Whose it is. */
    ToneBench.Channel channel();

    /** Why it cannot be used; empty if it can. */
    String trouble();
  }

  /**
   * What was heard of all channels.
   *
   * @param figures what one of them shows, a figure for each promise; an {@link
   *     IllegalArgumentException} is its trouble
   * @param known a good figure with what is known of it, on a calibrated bench
   */
  record Take<T extends Heard>(
      List<T> heard,
      Function<T, List<Figure>> figures,
      BiFunction<T, Measurement, Measurement> known) {
    /** Of figures of which no more is known. */
    Take(List<T> heard, Function<T, List<Figure>> figures) {
      this(heard, figures, (one, measurement) -> measurement);
    }

    /**
     * Of figures of which is known what one look at what was heard tells.
     *
     * @param look is taken once of each channel, on a calibrated bench
     */
    static <T extends Heard> Take<T> looked(
        List<T> heard,
        Function<T, List<Figure>> figures,
        Function<T, UnaryOperator<Measurement>> look) {
      Map<T, UnaryOperator<Measurement>> looks = new IdentityHashMap<>();
      return new Take<>(
          heard,
          figures,
          (one, measurement) -> looks.computeIfAbsent(one, look).apply(measurement));
    }
  }

  /** The results of each channel. */
  abstract List<Outline.Promise> promises(S settings);

  /** The role of the audio interface. */
  abstract String audio(S settings);

  /** Bench time it should take. */
  abstract Duration expected(S settings);

  /** What it drives, or null if it only listens. */
  Outline.@Nullable Drive drive(S settings) {
    return null;
  }

  /** Hears. */
  abstract Take<?> take(S settings, StepBench bench, ToneBench audio)
      throws InstrumentException, InterruptedException;

  /** A result with what is to be said about it. */
  Measurement noted(S settings, ToneBench audio, ToneBench.Channel channel, Measurement measurement)
      throws InstrumentException {
    return measurement;
  }

  /** The same with what is to be said about it for what was heard. */
  Measurement said(S settings, ToneBench audio, Heard heard, Measurement measurement)
      throws InstrumentException {
    return measurement;
  }

  @Override
  public final String id() {
    return id;
  }

  @Override
  public final Class<S> settings() {
    return settings;
  }

  @Override
  public Outline outline(S settings) {
    Outline outline = Outline.ofDriving(promises(settings), audio(settings), expected(settings));
    Outline.Drive drive = drive(settings);
    return drive == null ? outline : outline.driving(drive.power(), drive.longest());
  }

  @Override
  public final List<Measurement> measure(S settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, audio(settings));
    return results(settings, audio, take(settings, bench, audio));
  }

  private <T extends Heard> List<Measurement> results(S settings, ToneBench audio, Take<T> take)
      throws InstrumentException {
    List<Outline.Promise> promises = promises(settings);
    List<Measurement> results = new ArrayList<>();
    for (T heard : take.heard) {
      for (Measurement result : Promised.results(promises, heard, take.figures)) {
        Measurement noted =
            said(settings, audio, heard, noted(settings, audio, heard.channel(), result));
        boolean reckoned =
            audio.trust().isPresent() && !(result.figure() instanceof Figure.Invalid);
        results.add(reckoned ? take.known.apply(heard, noted) : noted);
      }
    }
    return results;
  }
}
