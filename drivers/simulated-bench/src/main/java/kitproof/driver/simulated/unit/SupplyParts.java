package kitproof.driver.simulated.unit;

/**
 * The power supply and the bench's mains with its lamp limiter.
 *
 * @param mainsVolts rms
 * @param mainsHz frequency
 * @param lampWatts rated power of all limiter lamps together at 230 V
 * @param primaryResistance ohms, mains wiring and primary winding
 * @param coreResistance ohms across the primary that stand for the core's losses
 * @param heaterResistance ohms of all hot heaters, seen from the primary
 * @param ratio high-voltage winding to primary
 * @param windingResistance ohms of the high-voltage winding and the rectifier
 * @param biasRatio grid bias voltage to the primary's peak voltage
 * @param reservoir farads, first capacitor
 * @param filterResistance ohms between the capacitors
 * @param smoothing farads, second capacitor: the HV rail
 * @param bleeder ohms across the rail
 * @param shortResistance ohms of a second capacitor that breaks down; infinite if it does not
 * @param preampResistance ohms from the rail to the first stages
 * @param preampCapacitance farads there
 * @param preampCurrent amperes of the first stages when warm at the nominal rail
 */
record SupplyParts(
    double mainsVolts,
    double mainsHz,
    double lampWatts,
    double primaryResistance,
    double coreResistance,
    double heaterResistance,
    double ratio,
    double windingResistance,
    double biasRatio,
    double reservoir,
    double filterResistance,
    double smoothing,
    double bleeder,
    double shortResistance,
    double preampResistance,
    double preampCapacitance,
    double preampCurrent) {}
