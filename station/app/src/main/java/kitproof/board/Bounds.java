package kitproof.board;

/**
 * How much a board keeps, whatever it is sent.
 *
 * @param message bytes of the largest payload that is looked at
 * @param stations how many
 * @param runs how many, by their verdicts; the oldest give way
 * @param details bytes of messages whose results are kept; the oldest run's give way
 */
record Bounds(int message, int stations, int runs, long details) {
  static final Bounds USUAL = new Bounds(512 * 1024, 300, 25_000, 48L * 1024 * 1024);
}
