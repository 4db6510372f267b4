package kitproof.batch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/**
 * Eleven curves around one that falls, alike but for one place, where they are far apart: what the
 * mask has to be is worked out here from the deviations that they were made with.
 */
class MaskProposalTest {
  /** Of eleven units, 95 % coverage, 95 % confidence (ISO 16269-6, by SciPy). */
  private static final double TWO_SIDED = 3.273;

  /** Likewise, one-sided: the ISO's table D has 2.814. */
  private static final double ONE_SIDED = 2.814;

  /** The standard deviation of the whole numbers from -5 to 5 is the root of 110 over 10. */
  private static final double DEVIATION = Math.sqrt(11);

  private static final int WIDE = 33;
  private static final double ROUNDED = 0.1;

  private final double[] places = new double[61];
  private final List<Curve> curves = new ArrayList<>();

  MaskProposalTest() {
    Arrays.setAll(places, p -> 20 * Math.pow(1000, p / 60.0));
    for (int unit = -5; unit <= 5; unit++) {
      double[] y = new double[places.length];
      for (int p = 0; p < y.length; p++) {
        y[p] = middle(p) + unit * weight(p);
      }
      curves.add(Curve.of(Unit.HERTZ, places, Unit.DECIBEL, y));
    }
  }

  private static double middle(int place) {
    return -3 * Math.pow(place / 60.0, 2);
  }

  private static double weight(int place) {
    return place == WIDE ? 1 : 0.01;
  }

  private MaskProposal mask(boolean low, boolean high) {
    return MaskProposal.of(curves, places, new Margin(0.95, 0.95), new Margin.Sides(low, high));
  }

  /** A corner as the limit file has it. */
  private record Corner(double at, double low, double high) {
    static Corner of(String words) {
      double at = 0;
      double low = Double.NaN;
      double high = Double.NaN;
      for (String part : words.split(", ", -1)) {
        String text = part.replaceFirst("^[a-z]+: ", "");
        if (part.startsWith("at: ")) {
          at = Quantity.parse(text, Unit.HERTZ).value();
        } else if (part.startsWith("low: ")) {
          low = Quantity.parse(text, Unit.DECIBEL).value();
        } else {
          high = Quantity.parse(text, Unit.DECIBEL).value();
        }
      }
      return new Corner(at, low, high);
    }
  }

  private static List<Corner> corners(MaskProposal mask) {
    return mask.corners().stream().map(Corner::of).toList();
  }

  /** On the straight line over the logarithm of frequency between two corners. */
  private static double line(double from, double y0, double to, double y1, double x) {
    return from == to ? y0 : y0 + (y1 - y0) * Math.log(x / from) / Math.log(to / from);
  }

  @Test
  void everyPlacesToleranceLimitsAreInsideTheLinesBetweenTheCorners() {
    MaskProposal mask = mask(true, true);
    assertThat(mask.factor()).isCloseTo(TWO_SIDED, within(5e-4));
    List<Corner> corners = corners(mask);
    assertThat(corners).hasSize(17);
    assertThat(corners.get(0).at).isEqualTo(20);
    assertThat(corners.get(16).at).isCloseTo(20_000, within(1e-6));
    for (int p = 0; p < places.length; p++) {
      double x = places[p];
      double reach = TWO_SIDED * DEVIATION * weight(p);
      for (int c = 0; c + 1 < corners.size(); c++) {
        Corner a = corners.get(c);
        Corner b = corners.get(c + 1);
        if (a.at <= x && x <= b.at) {
          assertThat(line(a.at, a.low, b.at, b.low, x))
              .as("low at %s Hz", x)
              .isLessThanOrEqualTo(middle(p) - reach + 1e-3);
          assertThat(line(a.at, a.high, b.at, b.high, x))
              .as("high at %s Hz", x)
              .isGreaterThanOrEqualTo(middle(p) + reach - 1e-3);
        }
      }
    }
  }

  @Test
  void aWidePlaceWidensItsNeighbourhoodAndNothingElse() {
    List<Corner> corners = corners(mask(true, true));
    double wide = TWO_SIDED * DEVIATION;
    double narrow = wide * 0.01;
    int widened = 0;
    for (int c = 0; c < corners.size(); c++) {
      double from = corners.get(Math.max(0, c - 1)).at;
      double to = corners.get(Math.min(corners.size() - 1, c + 1)).at;
      boolean near = from <= places[WIDE + 1] && places[WIDE - 1] <= to;
      // the curve falls: the lowest of the neighbourhood is where it ends, or just beyond
      double end = middle(Math.min(60, (int) Math.ceil(60 * Math.log10(to / 20) / 3) + 1));
      double begin = middle(Math.max(0, (int) Math.floor(60 * Math.log10(from / 20) / 3) - 1));
      if (corners.get(c).low < end - narrow - ROUNDED
          || corners.get(c).high > begin + narrow + ROUNDED) {
        assertThat(near).as("widened at %s Hz", corners.get(c).at).isTrue();
        assertThat(corners.get(c).low)
            .isBetween(middle(WIDE) - wide - ROUNDED, middle(WIDE) - wide + 1e-3);
        assertThat(corners.get(c).high)
            .isBetween(middle(WIDE) + wide - 1e-3, middle(WIDE) + wide + ROUNDED);
        widened++;
      }
    }
    assertThat(widened).as("both sides of the wide place").isBetween(2, 4);
  }

  @Test
  void oneSideHasTheFactorOfOneSideAndNoOtherSide() {
    MaskProposal mask = mask(true, false);
    assertThat(mask.factor()).isCloseTo(ONE_SIDED, within(1.5e-3));
    assertThat(mask.corners())
        .allMatch(words -> words.contains("low: "))
        .noneMatch(words -> words.contains("high"));
  }

  @Test
  void itIsForCurvesOverFrequencyOrTimeOnly() {
    double[] y = {0, 1};
    assertThat(MaskProposal.fits(Curve.of(Unit.HERTZ, new double[] {0, 10}, Unit.DECIBEL, y)))
        .isFalse();
    assertThat(MaskProposal.fits(Curve.of(Unit.WATT, new double[] {1, 10}, Unit.DECIBEL, y)))
        .isFalse();
    assertThat(MaskProposal.fits(Curve.of(Unit.SECOND, new double[] {0, 10}, Unit.DECIBEL, y)))
        .isTrue();
  }
}
