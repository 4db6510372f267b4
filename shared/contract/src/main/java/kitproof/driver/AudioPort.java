package kitproof.driver;

/**
 * One input or output of an audio interface.
 *
 * @param name as the bench file calls it, for example "left"
 * @param fullScalePeakVolts the peak voltage at digital full scale, above zero
 */
public record AudioPort(String name, double fullScalePeakVolts) {}
