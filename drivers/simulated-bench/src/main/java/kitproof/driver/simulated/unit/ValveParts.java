package kitproof.driver.simulated.unit;

/**
 * An output valve with its cathode resistor.
 *
 * @param perveance amperes per volt to the 3/2
 * @param screenMu amplification factor from control grid to screen
 * @param cathodeResistance ohms
 * @param cathodeCapacitance farads, across the resistor
 */
record ValveParts(
    double perveance, double screenMu, double cathodeResistance, double cathodeCapacitance) {}
