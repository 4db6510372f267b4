package kitproof.plot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.StringReader;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import javax.imageio.ImageIO;
import javax.xml.parsers.DocumentBuilderFactory;
import kitproof.limit.Limit;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

class DrawingTest {
  private static final Curve RESPONSE =
      Curve.of(
          Unit.HERTZ, new double[] {10, 1000, 100_000}, Unit.DECIBEL, new double[] {-4, 0, -20});

  private static final Limit.Mask MASK = above(-3);

  /** A mask of the audible band with a low side alone. */
  private static Limit.Mask above(double db) {
    Quantity low = Quantity.of(db, Unit.DECIBEL);
    return new Limit.Mask(
        List.of(
            new Limit.Point(Quantity.of(20, Unit.HERTZ), low, null),
            new Limit.Point(Quantity.of(20_000, Unit.HERTZ), low, null)));
  }

  private static Document drawn(Plot... plots) throws Exception {
    return DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(new InputSource(new StringReader(Drawing.svg(List.of(plots)))));
  }

  private static List<Element> elements(Document document, String name) {
    NodeList found = document.getElementsByTagName(name);
    return IntStream.range(0, found.getLength()).mapToObj(i -> (Element) found.item(i)).toList();
  }

  private static List<String> words(Document document) {
    return elements(document, "text").stream().map(Element::getTextContent).toList();
  }

  @Test
  void aCurveStandsWhereItsAxesSay() throws Exception {
    Document svg =
        drawn(
            new Plot(
                "frequency response",
                "Linnet 12 LN12-001, mode triode",
                List.of(new Plot.Line("", RESPONSE, List.of()))));
    assertThat(words(svg))
        .contains("Frequency response", "Linnet 12 LN12-001, mode triode")
        .contains("frequency (Hz)", "level (dB)", "1k", "-20");
    Element area = elements(svg, "clipPath").get(0);
    Element box = (Element) area.getElementsByTagName("rect").item(0);
    double left = Double.parseDouble(box.getAttribute("x"));
    double top = Double.parseDouble(box.getAttribute("y"));
    double width = Double.parseDouble(box.getAttribute("width"));
    double height = Double.parseDouble(box.getAttribute("height"));
    double[] points =
        Arrays.stream(elements(svg, "path").get(0).getAttribute("d").substring(1).split("[ L]"))
            .mapToDouble(Double::parseDouble)
            .toArray();
    assertThat(points)
        .containsExactly(
            new double[] {
              left, top + height * 4 / 20, left + width / 2, top, left + width, top + height
            },
            within(0.01));
  }

  @Test
  void aFlatTopIsNotHiddenByTheFrame() throws Exception {
    double[] time = {0, 1, 2, 3, 4};
    double[] volts = {0, 3.999, 3.998, -3.999, -3.998};
    Document svg =
        drawn(
            new Plot(
                "square wave",
                "",
                List.of(
                    new Plot.Line("", Curve.of(Unit.SECOND, time, Unit.VOLT, volts), List.of()))));
    assertThat(words(svg)).contains("4", "-4", "6", "-6");
  }

  @Test
  void aToneThatIsNearlyATickHasItsLabel() throws Exception {
    Curve curve =
        Curve.of(
            Unit.HERTZ,
            new double[] {80, 1000, 19_950},
            Unit.DECIBEL,
            new double[] {-70, -68, -61});
    assertThat(words(drawn(new Plot("thd", "", List.of(new Plot.Line("", curve, List.of()))))))
        .contains("100", "10k", "20k")
        .doesNotContain("50");
  }

  @Test
  void aNarrowPlotBreaksItsWordsRatherThanClippingThem() throws Exception {
    String conditions = "mode ultralinear, tap 16 ohm, power 10 W, frequency 1 kHz, channel left";
    String oneWord = "x".repeat(300);
    Plot plot =
        new Plot(
            "thd against frequency",
            conditions,
            List.of(
                new Plot.Line(conditions, RESPONSE, List.of()),
                new Plot.Line(oneWord, RESPONSE, List.of())));
    Document svg =
        DocumentBuilderFactory.newInstance()
            .newDocumentBuilder()
            .parse(new InputSource(new StringReader(Drawing.inline(plot, "p"))));
    assertThat(words(svg)).contains("frequency 1 kHz, channel left").allMatch(w -> w.length() < 60);
    assertThat(String.join("", words(svg))).contains(oneWord);
    double height = Double.parseDouble(svg.getDocumentElement().getAttribute("height"));
    double lowest =
        elements(svg, "text").stream()
            .filter(t -> !t.hasAttribute("transform"))
            .mapToDouble(t -> Double.parseDouble(t.getAttribute("y")))
            .max()
            .orElseThrow();
    // the graph stands lower by the second line of the conditions above it
    assertThat(lowest + 15).isLessThan(height);
  }

  @Test
  void aMaskIsFilledEdgedAndNamedOnceForAllCurves() throws Exception {
    Document svg =
        drawn(
            new Plot(
                "frequency response",
                "",
                List.of(
                    new Plot.Line("channel left", RESPONSE, List.of(MASK)),
                    new Plot.Line("channel right", RESPONSE, List.of(MASK)))));
    assertThat(words(svg)).containsOnlyOnce("within the mask", "channel left", "channel right");
    // filled, edged, two curves, two samples in the legend
    assertThat(elements(svg, "path")).hasSize(6);
  }

  /** Their edges differ in colour, and each is named by what its curves have in common. */
  @Test
  void twoMasksLookDifferentAndSayWhoseTheyAre() throws Exception {
    Limit.Mask other = above(-6);
    Document svg =
        drawn(
            new Plot(
                "frequency response",
                "",
                List.of(
                    new Plot.Line("mode triode, channel left", RESPONSE, List.of(other)),
                    new Plot.Line("mode triode, channel right", RESPONSE, List.of(other)),
                    new Plot.Line("mode ultralinear, channel left", RESPONSE, List.of(MASK)))));
    assertThat(words(svg))
        .contains("mask of mode triode", "mask of mode ultralinear, channel left")
        .doesNotContain("within the mask");
    assertThat(elements(svg, "rect").stream().map(r -> r.getAttribute("stroke")))
        .contains("#4f7f5a", "#b03a62");
    assertThat(elements(svg, "path").stream().map(p -> p.getAttribute("stroke")))
        .contains("#4f7f5a", "#b03a62");
    assertThat(elements(svg, "path").stream().map(p -> p.getAttribute("fill")))
        .contains("#e4f0e6", "#f8e3ea");
  }

  /** The lower side of the mask is the end of a round axis: it must not lie under the frame. */
  @Test
  void aMaskThatEndsWhereTheAxisWouldIsSeen() throws Exception {
    Limit.Mask wide =
        new Limit.Mask(
            List.of(
                new Limit.Point(
                    Quantity.of(10, Unit.HERTZ),
                    Quantity.of(-20, Unit.DECIBEL),
                    Quantity.of(5, Unit.DECIBEL)),
                new Limit.Point(
                    Quantity.of(100_000, Unit.HERTZ),
                    Quantity.of(-20, Unit.DECIBEL),
                    Quantity.of(5, Unit.DECIBEL))));
    Document svg =
        drawn(
            new Plot(
                "frequency response", "", List.of(new Plot.Line("", RESPONSE, List.of(wide)))));
    assertThat(words(svg)).contains("-25", "10");
  }

  @Test
  void whatStandsInNamesIsTextAndNothingElse() throws Exception {
    String nasty = "<script>alert(1)</script> & \"'";
    Document svg =
        drawn(new Plot(nasty, nasty, List.of(new Plot.Line(nasty, RESPONSE, List.of()))));
    assertThat(elements(svg, "script")).isEmpty();
    assertThat(words(svg).stream().filter(nasty::equals)).hasSize(3);
  }

  @Test
  void everyWordLiesWithinThePicture() throws Exception {
    List<Plot.Line> lines = new ArrayList<>();
    for (int i = 0; i < 24; i++) {
      lines.add(new Plot.Line("mode ultralinear, tap 16 ohm, channel " + i, RESPONSE, List.of()));
    }
    Document svg = drawn(new Plot("a", "b", lines), new Plot("c", "d", lines));
    double width = Double.parseDouble(svg.getDocumentElement().getAttribute("width"));
    double height = Double.parseDouble(svg.getDocumentElement().getAttribute("height"));
    for (Element text : elements(svg, "text")) {
      if (text.getAttribute("text-anchor").isEmpty()) {
        double end =
            Double.parseDouble(text.getAttribute("x")) + 6.6 * text.getTextContent().length();
        assertThat(end).as(text.getTextContent()).isLessThan(width);
        assertThat(Double.parseDouble(text.getAttribute("y"))).isLessThan(height / 2);
      }
    }
  }

  @Test
  void aShareOverDecadesAndAnotherOfZerosCanBothBeDrawn() throws Exception {
    double[] powers = {0.1, 1, 10};
    Curve decades = Curve.of(Unit.WATT, powers, Unit.PERCENT, new double[] {0.05, 0.3, 4});
    assertThat(words(drawn(plot(decades)))).contains("0.05", "0.1", "1", "5", "power (W)");
    Curve zeros = Curve.of(Unit.WATT, powers, Unit.PERCENT, new double[] {0, 0, 0});
    assertThat(words(drawn(plot(zeros)))).contains("0", "share (%)");
    Curve point = Curve.of(Unit.SECOND, new double[] {1}, Unit.VOLT, new double[] {300});
    assertThat(words(drawn(plot(point)))).contains("1.00", "300");
  }

  /** Rounded outwards it needs steps of 0.2, and ends at one of them: -0.6 to 0.4. */
  @Test
  void anAxisEndsAtALabelledStep() throws Exception {
    Curve curve =
        Curve.of(Unit.WATT, new double[] {1, 2}, Unit.DECIBEL, new double[] {-0.42, 0.25});
    assertThat(words(drawn(plot(curve)))).contains("-0.6", "0.4");
  }

  private static Plot plot(Curve curve) {
    return new Plot("curve", "", List.of(new Plot.Line("", curve, List.of())));
  }

  @Test
  void thePictureInPixelsShowsTheSame() throws IOException {
    String svg =
        Drawing.svg(
            List.of(new Plot("a", "b", List.of(new Plot.Line("c", RESPONSE, List.of(MASK))))));
    BufferedImage image = ImageIO.read(new ByteArrayInputStream(Raster.png(svg)));
    assertThat(image.getWidth()).isEqualTo(1760);
    long blue = 0;
    long green = 0;
    for (int x = 0; x < image.getWidth(); x++) {
      for (int y = 0; y < image.getHeight(); y++) {
        int rgb = image.getRGB(x, y) & 0xffffff;
        blue += rgb == 0x0b5fa5 ? 1 : 0;
        green += rgb == 0xe4f0e6 ? 1 : 0;
      }
    }
    assertThat(blue).as("pixels of the curve").isGreaterThan(1_000);
    assertThat(green).as("pixels within the mask").isGreaterThan(20_000);
  }

  /** Two records of a full plan at once: far beyond what drawings from strangers may hold. */
  @Test
  void allCurvesOfSeveralRecordsFitOnePicture() throws IOException {
    List<Plot> plots = new ArrayList<>();
    for (int i = 0; i < 80; i++) {
      plots.add(new Plot("a", "b", List.of(new Plot.Line("c", RESPONSE, List.of(MASK)))));
    }
    BufferedImage image = ImageIO.read(new ByteArrayInputStream(Raster.png(Drawing.svg(plots))));
    assertThat(image.getHeight()).isGreaterThan(20 * image.getWidth());
    assertThat((double) image.getHeight() * image.getWidth()).isLessThan(25.2e6);
  }
}
