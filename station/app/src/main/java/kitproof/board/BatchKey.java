package kitproof.board;

/**
 * Which batch.
 *
 * @param batch empty for the units of no batch
 */
public record BatchKey(String shop, String product, String batch) {}
