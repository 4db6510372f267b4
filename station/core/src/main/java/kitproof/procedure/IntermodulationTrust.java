package kitproof.procedure;

import java.util.List;
import java.util.Map;
import java.util.Objects;
import kitproof.signal.IntermodulationFigures;
import kitproof.signal.NoiseFloor;
import kitproof.signal.TwoTone;
import kitproof.signal.Window;
import kitproof.uncertainty.NearResidual;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * How well intermodulation is known: by the path at each product and at the tone that it is
 * relative to, by the noise on the line of each product, by the station's own distortion, and by
 * the level, with whose (n-1)th power a product of order n goes where distortion is small.
 *
 * <p>Of the station's own intermodulation nothing is calibrated: it is taken to be no more than its
 * distortion of a single tone, of a phase that nobody knows.
 */
final class IntermodulationTrust {
  /** Both tones together are levelled within this, dB. */
  private static final double LEVELLED_DB = 0.02;

  /**
   * A product |low·f1 + high·f2|.
   *
   * @param order the number of both together
   */
  private record Product(int low, int high) {
    int order() {
      return Math.abs(low) + Math.abs(high);
    }
  }

  private static final Product DIFFERENCE = new Product(-1, 1);
  private static final Product BELOW = new Product(2, -1);
  private static final Product ABOVE = new Product(-1, 2);
  private static final Product SUM = new Product(1, 1);
  private static final Product DIFFERENCE_OF_TWICE = new Product(-2, 1);
  private static final Product SUM_OF_TWICE = new Product(2, 1);

  /** Groups of products: within one they add, the groups add as squares. */
  private static final Map<String, List<List<Product>>> MADE_OF =
      Map.ofEntries(
          Map.entry("difference-frequency distortion 2", List.of(List.of(DIFFERENCE))),
          Map.entry("difference-frequency distortion 3", List.of(List.of(BELOW, ABOVE))),
          Map.entry("product f2-f1", List.of(List.of(DIFFERENCE))),
          Map.entry("product 2f1-f2", List.of(List.of(BELOW))),
          Map.entry("product 2f2-f1", List.of(List.of(ABOVE))),
          Map.entry(
              "modulation distortion",
              List.of(List.of(DIFFERENCE, SUM), List.of(DIFFERENCE_OF_TWICE, SUM_OF_TWICE))),
          Map.entry("modulation distortion 2", List.of(List.of(DIFFERENCE, SUM))),
          Map.entry("modulation distortion 3", List.of(List.of(DIFFERENCE_OF_TWICE, SUM_OF_TWICE))),
          Map.entry("sideband f2-f1", List.of(List.of(DIFFERENCE))),
          Map.entry("sideband f2+f1", List.of(List.of(SUM))),
          Map.entry("sideband f2-2f1", List.of(List.of(DIFFERENCE_OF_TWICE))),
          Map.entry("sideband f2+2f1", List.of(List.of(SUM_OF_TWICE))));

  private final ToneBench audio;
  private final AudioTrust trust;
  private final ToneBench.Channel channel;
  private final IntermodulationFigures figures;
  private final NoiseFloor floor;
  private final Factor level;

  IntermodulationTrust(ToneBench audio, Block block, TwoTone tones) {
    this.audio = audio;
    this.trust = audio.trust().orElseThrow();
    this.channel = block.channel();
    this.figures = tones.analyse(block.volts());
    this.floor = NoiseFloor.of(block.volts(), audio.sampleRateHz(), Window.RECTANGULAR);
    this.level = LevelledTrust.level(trust, channel, tones.lowHz(), LEVELLED_DB);
  }

  /** One of the results of two tones. */
  Measurement known(Measurement result) {
    return Budgeted.on(
        result,
        value ->
            of(Objects.requireNonNull(MADE_OF.get(result.name())), value, against(result.name())));
  }

  /** Volts that the result is relative to. */
  private double against(String name) {
    return against(name, figures);
  }

  /** Volts that a result of two tones is relative to. */
  static double against(String name, IntermodulationFigures figures) {
    return name.startsWith("difference-frequency")
        ? figures.equivalentSineVolts()
        : figures.highVolts();
  }

  /** How many products a result is made of. */
  static int products(String name) {
    return Objects.requireNonNull(MADE_OF.get(name)).stream().mapToInt(List::size).sum();
  }

  /** What a result comes to if every product that it is made of is one of these. */
  static double ofEqual(String name, double product) {
    double squares = 0;
    for (List<Product> group : Objects.requireNonNull(MADE_OF.get(name))) {
      squares += Math.pow(group.size() * product, 2);
    }
    return Math.sqrt(squares);
  }

  private Budgeted of(List<List<Product>> groups, Quantity value, double reference) {
    double squares = 0;
    for (List<Product> group : groups) {
      squares += Math.pow(sum(group), 2);
    }
    Factor factor = Factor.EXACT;
    double exponent = 0;
    int count = 0;
    for (List<Product> group : groups) {
      for (Product product : group) {
        double share = squares == 0 ? 0 : sum(group) * volts(product) / squares;
        factor = factor.times(line(product).power(share));
        exponent += share * (product.order() - 1);
        count++;
      }
    }
    double ratio = Math.sqrt(squares) / reference;
    return factor
        .over(level.power(exponent))
        .times(station(ratio, reference, count))
        .figure(value.value(), value.unit());
  }

  private double volts(Product product) {
    return figures.productVolts(product.low, product.high).orElse(0);
  }

  private double sum(List<Product> group) {
    return group.stream().mapToDouble(this::volts).sum();
  }

  /** A product over the higher tone. */
  private Factor line(Product product) {
    double hertz = figures.productHz(product.low, product.high);
    double volts = Math.max(volts(product), Double.MIN_NORMAL);
    double noise = floor.volts(hertz);
    String at = " at " + Quantity.of(hertz, Unit.HERTZ).display();
    return trust
        .volts(channel, hertz)
        .over(trust.volts(channel, figures.productHz(0, 1)))
        .times(
            Factor.relative(
                "noise" + at,
                Evaluation.TYPE_A,
                Math.log1p(noise / volts) / Math.sqrt(2),
                floor.degreesOfFreedom()))
        .times(
            Factor.of(
                NearResidual.of(volts, noise, 0, Unit.VOLT)
                    .get(0)
                    .named("noise that adds to the product" + at)
                    .with(floor.degreesOfFreedom()),
                volts));
  }

  /** What the station may have added, of a figure that is this ratio to the reference. */
  private Factor station(double ratio, double reference, int products) {
    return audio
        .own()
        .of(channel, figures.equivalentSineVolts(), 1000)
        .map(
            own -> {
              double most =
                  own.thd()
                      * Math.sqrt(products)
                      * figures.equivalentSineVolts()
                      / reference
                      / Math.max(ratio, Double.MIN_NORMAL);
              return Factor.of(
                  Contribution.within(
                          "the station's own distortion",
                          Distribution.ARCSINE,
                          100 * Math.log1p(most),
                          Unit.PERCENT)
                      .with(own.degreesOfFreedom()),
                  100);
            })
        .orElseGet(() -> Factor.lacking("the station's own residual"));
  }
}
