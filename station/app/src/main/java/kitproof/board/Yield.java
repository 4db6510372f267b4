package kitproof.board;

/**
 * How the units of a batch have done. A run that ended as error says nothing of its unit and does
 * not count.
 *
 * @param tested units with at least one run that counts
 * @param firstPassed units whose first such run was a pass
 * @param passed units whose last such run was a pass
 */
record Yield(int tested, int firstPassed, int passed) {
  /** First-pass yield, 0 to 1; 0 if nothing was tested. */
  double firstPass() {
    return tested == 0 ? 0 : (double) firstPassed / tested;
  }

  /** Final yield, 0 to 1; 0 if nothing was tested. */
  double last() {
    return tested == 0 ? 0 : (double) passed / tested;
  }
}
