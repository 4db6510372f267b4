package kitproof.journal;

/**
 * The record before another one on its station.
 *
 * @param run its run's name
 * @param digest of its document: "sha256:…"
 */
public record Link(String run, String digest) {}
