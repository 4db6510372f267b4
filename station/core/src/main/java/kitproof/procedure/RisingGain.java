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

  /** The drive for this output; one must have been taken. */
  double driveFor(double output) {
    double high = output / gain;
    if (high <= drive || perSquare == 0) {
      return high;
    }
    double low = drive;
    for (int i = 0; i < HALVINGS; i++) {
      double middle = (low + high) / 2;
      double there = middle * (gain + perSquare * (middle * middle - drive * drive));
      if (there <= output) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }
}
