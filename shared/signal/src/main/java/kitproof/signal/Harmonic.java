package kitproof.signal;

/**
 * One harmonic of a tone.
 *
 * @param order 2 for the second harmonic, at twice the tone's frequency
 * @param volts its rms
 * @param ratio its rms over that of the fundamental
 * @param frequencyHz where it lies
 */
public record Harmonic(int order, double volts, double ratio, double frequencyHz) {}
