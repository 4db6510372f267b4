package kitproof.procedure;

import java.util.List;
import kitproof.signal.Levels;
import kitproof.signal.StrayLine;
import kitproof.uncertainty.NearResidual;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Side;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Unit;

/**
 * How well a stray line is known. Of one that does not stand out of the noise only the bound is
 * known: there may be none at all. A line of the station's own may be in it, of any size up to the
 * station's own distortion of the tone.
 */
final class StrayLineTrust {
  private final ToneBench audio;
  private final ToneBench.Channel channel;
  private final SpectrumTrust lines;
  private final StrayLine line;
  private final double tone;
  private final double hertz;

  /**
   * Of a line.
   *
   * @param hertz the tone that was played
   */
  StrayLineTrust(ToneBench audio, Block block, StrayLine line, double hertz) {
    this.audio = audio;
    this.channel = block.channel();
    this.lines = new SpectrumTrust(audio, block);
    this.line = line;
    this.tone = Levels.rms(block.volts());
    this.hertz = hertz;
  }

  /** Its level or its frequency. */
  Measurement known(Measurement result) {
    return result.figure() instanceof Figure.OfQuantity of && of.quantity().unit() == Unit.HERTZ
        ? Budgeted.on(result, value -> frequency())
        : Budgeted.on(result, value -> level().figure(value.value(), value.unit()));
  }

  private Factor level() {
    Factor level =
        lines
            .line(line.frequencyHz(), line.volts())
            .times(
                audio
                    .own()
                    .of(channel, tone, hertz)
                    .map(
                        own ->
                            Factor.of(
                                NearResidual.of(line.volts(), own.thd() * tone, 0, Unit.VOLT)
                                    .get(0)
                                    .named("a line of the station's own"),
                                line.volts()))
                    .orElseGet(() -> Factor.lacking("the station's own residual")));
    return line.standsOut()
        ? level
        : level.times(
            Factor.decibels(
                Contribution.known(
                        "a bound that noise sets",
                        Distribution.OFFSET,
                        Levels.db(line.volts() / line.floorVolts()),
                        Unit.DECIBEL)
                    .on(Side.BELOW)));
  }

  /** The flat top is flat over the bins on both sides, so that noise chooses among them. */
  private Budgeted frequency() {
    return Budgeted.of(
        List.of(
            Contribution.within(
                "distance of the spectrum's lines",
                Distribution.RECTANGULAR,
                lines.floor().spectrum().binHz(),
                Unit.HERTZ),
            Contribution.within(
                "clock of the interface",
                Distribution.RECTANGULAR,
                TimeTrust.CLOCK * line.frequencyHz(),
                Unit.HERTZ)));
  }
}
