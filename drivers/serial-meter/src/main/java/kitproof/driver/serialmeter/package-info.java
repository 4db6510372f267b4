/** The driver "serial-meter": a SCPI multimeter over a serial port or a TCP connection. */
@NullMarked
package kitproof.driver.serialmeter;

import org.jspecify.annotations.NullMarked;
