package kitproof.signal;

/**
 * The part of a circular impulse response that belongs to one order, with soft edges.
 *
 * @param leftFull samples before the centre that pass whole
 * @param leftEnd samples before the centre where nothing passes any more
 * @param rightFull as on the left, after the centre
 * @param rightEnd as on the left, after the centre
 */
record Gate(double leftFull, double leftEnd, double rightFull, double rightEnd) {

  /**
   * The gate between one order's neighbours. Responses are causal: a neighbour on the left runs
   * towards this one, one on the right runs away.
   *
   * @param perFactor samples in which the sweep rises by e
   */
  static Gate of(int order, double perFactor) {
    double left = perFactor * Math.log((order + 1.0) / order);
    if (order == 1) {
      // The lower edge of the band spreads to both sides: what is cut of it there is a ripple.
      return new Gate(0.6 * left, 0.95 * left, left, 1.5 * left);
    }
    double right = perFactor * Math.log(order / (order - 1.0));
    return new Gate(0.4 * left, 0.7 * left, 0.5 * right, 0.9 * right);
  }

  /**
   * Cuts the part around the centre, which becomes index 0.
   *
   * @return four times as long as the gate or longer, so that its spectrum is finely resolved
   */
  double[] cut(double[] circle, int centre) {
    int before = (int) Math.floor(leftEnd);
    int after = (int) Math.floor(rightEnd);
    double[] part = new double[Fft.powerOfTwo(4L * (before + after + 1))];
    for (int i = -before; i <= after; i++) {
      double value = circle[Math.floorMod(centre + i, circle.length)];
      part[Math.floorMod(i, part.length)] = value * weight(i);
    }
    return part;
  }

  private double weight(int i) {
    return i < 0
        ? Fade.gain((leftEnd + i) / (leftEnd - leftFull))
        : Fade.gain((rightEnd - i) / (rightEnd - rightFull));
  }
}
