package kitproof.driver;

import kitproof.value.Signal;

/**
 * What an audio interface took in while it played.
 *
 * @param signal volts, one channel per input
 * @param clipped whether any sample of any input reached full scale
 * @param lost whether samples are missing or were made up
 */
public record Capture(Signal signal, boolean clipped, boolean lost) {}
