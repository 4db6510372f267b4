package kitproof.driver.simulated.unit;

/**
 * The parts of one channel. "Half" values are seen from one half of the output transformer's
 * primary winding.
 *
 * @param inputCapacitance farads, in series at the input
 * @param inputResistance ohms to chassis after it
 * @param inputShunt farads across the resistance: wiring and the first valve
 * @param stageGain volts at one output grid per volt of error voltage
 * @param stageCurvature second-order term of the voltage stage, per volt of error voltage
 * @param stageLimit volts at one output grid that the voltage stage cannot exceed
 * @param stageCornerHz its dominant pole
 * @param splitterImbalance relative excess of the second grid's drive
 * @param couplingCapacitance farads, to each output grid
 * @param gridResistance ohms, from each output grid to chassis
 * @param feedback fraction of the 8 ohm winding's voltage returned to the first cathode
 * @param first the valve that conducts more for positive output: V3 left, V5 right
 * @param second the other: V4 left, V6 right
 * @param ultralinearTap fraction of the half winding at which the screen is tapped
 * @param turns half primary to 8 ohm winding
 * @param tap4 turns of the winding on terminal "4", relative to the 8 ohm winding
 * @param tap8 the same for terminal "8"
 * @param tap16 the same for terminal "16"
 * @param inductance half, henry, at low flux
 * @param saturationFlux volt seconds at which the magnetising current has doubled
 * @param leakage half, henry
 * @param copper half, ohms, both windings
 * @param strayCapacitance half, farads
 * @param noise volts rms at the input in 20 kHz
 * @param heaterHum volts peak at the input per volt peak of mains over its nominal peak
 * @param supplyHum volts at the input per volt of ripple on the first stage's supply
 * @param oscillation volts at the input of a parasitic oscillation; 0 for none
 */
record ChannelParts(
    double inputCapacitance,
    double inputResistance,
    double inputShunt,
    double stageGain,
    double stageCurvature,
    double stageLimit,
    double stageCornerHz,
    double splitterImbalance,
    double couplingCapacitance,
    double gridResistance,
    double feedback,
    ValveParts first,
    ValveParts second,
    double ultralinearTap,
    double turns,
    double tap4,
    double tap8,
    double tap16,
    double inductance,
    double saturationFlux,
    double leakage,
    double copper,
    double strayCapacitance,
    double noise,
    double heaterHum,
    double supplyHum,
    double oscillation) {}
