package kitproof.driver.simulated.unit;

/**
 * Every part value of one unit.
 *
 * @param supply the power supply
 * @param left the left channel
 * @param right the right channel
 * @param crosstalk fraction of one channel's input that reaches the other's, at all frequencies
 * @param crosstalkCapacitance farads between the inputs
 * @param leakingGrid the grid with the leaking coupling capacitor: 0…3 for V3…V6, or -1
 * @param settling relative excess of the valves' perveance when just warm, gone after a minute
 * @param noiseSeed seed of the unit's noise
 * @param earthResistance ohms from the mains inlet's earth to chassis
 */
public record UnitParts(
    SupplyParts supply,
    ChannelParts left,
    ChannelParts right,
    double crosstalk,
    double crosstalkCapacitance,
    int leakingGrid,
    double settling,
    long noiseSeed,
    double earthResistance) {}
