package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.DoubleFunction;
import java.util.function.Function;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Staircase;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Signal;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Plays stimuli into the unit's inputs that the step's conditions name and captures its outputs.
 *
 * <p>The condition {@code channel} names an output and an input of the interface; {@code both}
 * means every channel it has, driven in one exchange; without the condition the first output and
 * input are used. All other outputs stay silent.
 */
final class ToneBench {
  /** A sample this near to full scale may be one that was cut off. */
  private static final double CLIPS_FROM = 0.99;

  /** How often a capture that has lost samples is taken again; each costs the load some heat. */
  private static final int MOST_REPEATS = 3;

  private final StepBench bench;
  private final AudioInterface audio;
  private final AudioPorts ports;
  private final List<Channel> channels;
  private final InputRanges ranges;
  private final Settle settle = new Settle();
  private final Map<String, Double> ohms = new HashMap<>();
  private final Map<String, Double> gains = new HashMap<>();
  private final Optional<AudioTrust> trust;
  private final StationResiduals own;
  private final StatedPower stated = new StatedPower();

  private ToneBench(StepBench bench, String role, AudioInterface audio, List<Channel> channels) {
    this.bench = bench;
    this.audio = audio;
    this.ports = audio.ports();
    this.channels = List.copyOf(channels);
    this.ranges = new InputRanges(bench);
    this.trust =
        bench
            .calibration()
            .map(calibration -> new AudioTrust(calibration, bench, role, ports, ranges));
    this.own = new StationResiduals(trust, bench.residual(), ranges);
  }

  /**
   * One channel that the step measures.
   *
   * @param name as conditions name it; empty if the step names none
   * @param conditions the step's, with this channel
   * @param output index of the interface's output
   * @param input index of the interface's input
   * @param highestDrivePeakVolts the highest drive the interface can give
   * @param highestInputPeakVolts the highest voltage the interface can take
   */
  record Channel(
      String name,
      Conditions conditions,
      int output,
      int input,
      double highestDrivePeakVolts,
      double highestInputPeakVolts) {}

  /**
   * The interface in this role with the channels of the step's conditions.
   *
   * @throws InstrumentException if the interface has no such channel, or one of several channels
   *     has no load
   */
  static ToneBench of(StepBench bench, String role) throws InstrumentException {
    AudioInterface audio = bench.audio(role);
    return new ToneBench(bench, role, audio, StepChannels.of(bench, audio.ports(), role));
  }

  /** The channels that are measured, at least one. */
  List<Channel> channels() {
    return channels;
  }

  /** The load on a channel's output, ohms as measured. */
  double loadOhms(Channel channel) throws InstrumentException {
    double load = bench.load(channel.name()).in(Unit.OHM);
    ohms.put(channel.name(), load);
    return load;
  }

  /** The choice of the input range. */
  InputRanges ranges() {
    return ranges;
  }

  /** The time that the unit gets to settle. */
  Settle settle() {
    return settle;
  }

  /** How well the volts are known; empty on a bench without calibration. */
  Optional<AudioTrust> trust() {
    return trust;
  }

  /** The measurement with what is known of it, on a calibrated bench. */
  Measurement known(Measurement measurement, Function<AudioTrust, Factor> factor) {
    if (trust.isEmpty() || measurement.figure() instanceof Figure.Invalid) {
      return measurement;
    }
    Factor of = factor.apply(trust.get());
    return Budgeted.on(measurement, value -> of.figure(value.value(), value.unit()));
  }

  /** The same of a curve, by its x. */
  Measurement knownCurve(
      Measurement measurement, Function<AudioTrust, DoubleFunction<Factor>> factor) {
    if (trust.isEmpty() || !(measurement.figure() instanceof Figure.OfCurve of)) {
      return measurement;
    }
    DoubleFunction<Factor> at = factor.apply(trust.get());
    Curve curve = of.curve();
    return Budgeted.onCurve(
        measurement, i -> at.apply(curve.x(i)).figure(curve.y(i), curve.yUnit()));
  }

  /** What the station itself adds to what is measured. */
  StationResiduals own() {
    return own;
  }

  /** What else the station itself may show. */
  OwnLines ownLines(Channel channel) {
    return own.lines(
        channel, bench.spurs(), gains.getOrDefault(channel.name(), 0.0), sampleRateHz());
  }

  /** Makes sure that every channel has its load, read back as connected. */
  void requireLoads() throws InstrumentException {
    for (Channel channel : channels) {
      var unused = loadOhms(channel);
    }
  }

  double sampleRateHz() {
    return ports.sampleRateHz();
  }

  /** A coherent tone of this frequency with a block of about this length. */
  CoherentTone tone(double hertz, double aboutSeconds) {
    return CoherentTone.of(
        hertz, sampleRateHz(), (int) Math.ceil(Math.max(4096, aboutSeconds * sampleRateHz())));
  }

  /**
   * What came back.
   *
   * @param figures of the block after settling; null if there was no tone at all
   * @param trouble why it cannot be trusted; empty if it can
   * @param toneMissing whether the trouble is that the tone is too weak, which more drive may mend
   */
  record Shot(@Nullable ToneFigures figures, String trouble, boolean toneMissing) {
    /** The figures of a shot that is good. */
    Optional<ToneFigures> good() {
      return trouble.isEmpty() ? Optional.ofNullable(figures) : Optional.empty();
    }
  }

  /**
   * Plays the tone until the unit has settled and one block more, and analyses that block.
   *
   * @param drivePeakVolts by channel; a channel with 0 stays silent
   * @param within how near to its final level the tone has settled, as a part of it
   * @return by channel
   */
  List<Shot> play(
      CoherentTone tone, double[] drivePeakVolts, Band band, int highestHarmonic, double within)
      throws InstrumentException {
    int[] stairs = Arrays.stream(drivePeakVolts).mapToInt(drive -> drive > 0 ? 1 : 0).toArray();
    Settle.Played played =
        settle.play(
            this,
            tone.frequencyHz(),
            tone.blockLength(),
            stairs,
            within,
            samples -> {
              double[] unit = new Staircase(tone, samples, new double[] {1}).samples();
              return Arrays.stream(drivePeakVolts).mapToObj(drive -> scaled(unit, drive)).toList();
            });
    List<Shot> shots = new ArrayList<>();
    for (int c = 0; c < channels.size(); c++) {
      shots.add(
          drivePeakVolts[c] == 0
              ? new Shot(null, "the channel is not driven", false)
              : shot(
                  played.capture(),
                  channels.get(c),
                  played.samples(),
                  tone,
                  band,
                  highestHarmonic));
      note(tone, channels.get(c), drivePeakVolts[c], shots.get(c), within);
    }
    return shots;
  }

  /**
   * Remembers a channel's gain by a shot, and shows the shot to whoever watches.
   *
   * @param within how far it had to settle
   */
  void note(CoherentTone tone, Channel channel, double drive, Shot shot, double within) {
    boolean there = within <= Settle.AT_REST;
    shot.good()
        .ifPresent(
            figures -> gains.put(channel.name(), figures.levelVolts() * Math.sqrt(2) / drive));
    shot.good()
        .flatMap(figures -> OnTheWay.of(tone, channel, drive, figures, ohms, there))
        .ifPresent(bench::heard);
  }

  /** A part of a capture, of which only its own samples are looked at. */
  static Capture part(Capture capture, int from, int length) {
    double[][] inputs = new double[capture.signal().channels()][];
    for (int i = 0; i < inputs.length; i++) {
      inputs[i] = Arrays.copyOfRange(capture.signal().channel(i), from, from + length);
    }
    return new Capture(
        Signal.of(capture.signal().sampleRateHz(), inputs), capture.clipped(), capture.lost());
  }

  /** Shows the last stair of a climb to whoever watches. */
  void show(CoherentTone tone, Channel channel, PowerStairs.Stair stair) {
    OnTheWay.of(tone, channel, stair, ohms).ifPresent(bench::heard);
  }

  /** Tells the operator. */
  void notice(String text) throws InstrumentException {
    bench.notice(text);
  }

  /** Says that so many samples of the signal were there for the unit to settle. */
  void settled(int samples) {
    bench.settled(Duration.ofNanos(Math.round(samples * 1e9 / sampleRateHz())));
  }

  /** A copy, every sample multiplied. */
  static double[] scaled(double[] samples, double by) {
    double[] scaled = samples.clone();
    for (int i = 0; i < scaled.length; i++) {
      scaled[i] *= by;
    }
    return scaled;
  }

  /** What a channel's block from a sample on shows of the tone. */
  Shot shot(Capture capture, Channel channel, int from, CoherentTone tone, Band band, int highest) {
    String trouble = trouble(capture, channel);
    return trouble.isEmpty()
        ? shot(input(capture, channel), from, tone, band, highest)
        : new Shot(null, trouble, false);
  }

  /** What a block of a capture without trouble shows of the tone; pure. */
  Shot shot(double[] volts, int from, CoherentTone tone, Band band, int highest) {
    double[] block = Arrays.copyOfRange(volts, from, from + tone.blockLength());
    ToneFigures figures;
    try {
      figures = ToneAnalysis.coherent(block, sampleRateHz(), tone.cycles(), band, highest);
    } catch (IllegalArgumentException e) {
      return new Shot(null, "no tone came back", true); // not a trace of it: muted, or cut off
    }
    // THD+N above 1/sqrt(2) means that less than half of the power is the tone.
    return figures.thdPlusNoise() > Math.sqrt(0.5)
        ? new Shot(figures, "the tone does not stand out of what else came back", true)
        : new Shot(figures, "", false);
  }

  /** Plays the same samples on every channel; see {@link #exchange(List)}. */
  Capture exchange(double[] volts) throws InstrumentException {
    return exchange(Collections.nCopies(channels.size(), volts));
  }

  /**
   * Plays samples on the step's channels and returns what came back, with its flags.
   *
   * <p>A capture that has lost samples is taken again a few times, and the operator is told; the
   * last one may still have lost some.
   *
   * @param volts by channel, all of one length
   */
  Capture exchange(List<double[]> volts) throws InstrumentException {
    double[][] outputs = new double[ports.outputs().size()][volts.get(0).length];
    for (int c = 0; c < channels.size(); c++) {
      outputs[channels.get(c).output()] = volts.get(c);
    }
    Signal stimulus = Signal.of(sampleRateHz(), outputs);
    ranges.choose();
    Capture capture = ranges.atUnit(whole(stimulus));
    while (capture.clipped() && ranges.back()) {
      capture = ranges.atUnit(whole(stimulus)); // more came than was expected
    }
    for (Channel channel : channels) {
      OnTheWay.of(channel, input(capture, channel)).ifPresent(bench::heard);
      tellExcess(capture, channel);
    }
    return capture;
  }

  /** Takes a power that the step is to reach. */
  void stated(double watts) {
    stated.take(watts);
  }

  private void tellExcess(Capture capture, Channel channel) throws InstrumentException {
    String name = channel.name();
    String excess = stated.excess(name, capture, input(capture, channel), ohms.get(name));
    if (!excess.isEmpty()) {
      bench.notice(channels.size() > 1 ? name + ": " + excess : excess);
    }
  }

  private Capture whole(Signal stimulus) throws InstrumentException {
    Capture capture = audio.exchange(stimulus);
    int repeats = 0;
    while (capture.lost() && repeats < MOST_REPEATS) {
      repeats++;
      capture = audio.exchange(stimulus);
    }
    if (repeats > 0) {
      int lost = capture.lost() ? repeats + 1 : repeats;
      bench.notice(
          "samples were lost in "
              + (lost == 1 ? "a capture" : lost + " captures, one after another")
              + (capture.lost() ? "; given up" : "; taken again"));
    }
    return capture;
  }

  /** A channel of a capture, volts. */
  double[] input(Capture capture, Channel channel) {
    return capture.signal().channel(channel.input());
  }

  /** Why a channel of a capture cannot be trusted; empty if it can. */
  String trouble(Capture capture, Channel channel) {
    if (capture.lost()) {
      return "samples were lost in the capture";
    }
    return capture.clipped() && mayHaveClipped(capture, channel)
        ? "the capture reached full scale"
        : "";
  }

  /** The flag is for all inputs together; one that stayed well below is not to blame. */
  private boolean mayHaveClipped(Capture capture, Channel channel) {
    double most = 0;
    for (int i = 0; i < capture.signal().length(); i++) {
      most = Math.max(most, Math.abs(capture.signal().at(channel.input(), i)));
    }
    return most >= CLIPS_FROM * channel.highestInputPeakVolts() * ranges.ratio();
  }
}
