package kitproof.board;

/**
 * How much a board keeps, whatever it is sent. With {@link #USUAL} a batch of 20 000 units with 200
 * results each fits, and all of it into the memory that the program is started with.
 *
 * @param message bytes of the largest payload that is looked at
 * @param stations how many
 * @param runs how many, by their verdicts; the oldest give way
 * @param words bytes of what is kept of each of these runs, such as names of failed results
 * @param briefs bytes of the values of results; the oldest run's give way
 * @param details bytes of messages whose results are kept whole; the oldest run's give way
 */
record Bounds(int message, int stations, int runs, long words, long briefs, long details) {
  static final Bounds USUAL = new Bounds(512 * 1024, 300, 25_000, 48L << 20, 56L << 20, 32L << 20);
}
