/**
 * Results to an MQTT broker, outward only: the station publishes what is in the journals and
 * subscribes to nothing.
 */
@NullMarked
package kitproof.mqtt;

import org.jspecify.annotations.NullMarked;
