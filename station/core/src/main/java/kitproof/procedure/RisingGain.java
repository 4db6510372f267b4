package kitproof.procedure;

/**
 * How far a drive may go when a unit's gain rises with level, so that its output stays at or below
 * a target: between what was measured and the target the gain is taken to go on rising with the
 * square of the drive, as the third order of a transfer curve makes it. A gain that falls is taken
 * to stay as it was last: then the target is approached from below.
 */
final class RisingGain {
  private static final int HALVINGS = 50;

  private double drive;
  private double gain;
  private double perSquare;

  /** Whether any drive has been taken. */
  boolean isKnown() {
    return drive > 0;
  }

  /** Takes what a drive, higher than those before it, has come to. */
  void take(double newDrive, double output) {
    double newGain = output / newDrive;
    if (drive > 0 && newDrive > drive) {
      double rise = (newGain - gain) / (newDrive * newDrive - drive * drive);
      perSquare = Math.max(0, rise);
    }
    drive = newDrive;
    gain = newGain;
  }

  /** The same of an output that is told this many times as high. */
  RisingGain scaled(double by) {
    RisingGain scaled = new RisingGain();
    scaled.drive = drive;
    scaled.gain = by * gain;
    scaled.perSquare = by * perSquare;
    return scaled;
  }

  /** The output at a drive; one must have been taken. */
  double outputFor(double at) {
    double rise = at > drive ? perSquare * (at * at - drive * drive) : 0;
    return at * (gain + rise);
  }

  /** The drive for this output; one must have been taken. */
  double driveFor(double output) {
    double high = output / gain;
    if (high <= drive || perSquare == 0) {
      return high;
    }
    double low = drive;
    for (int i = 0; i < HALVINGS; i++) {
      double middle = (low + high) / 2;
      if (outputFor(middle) <= output) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }
}
