/**
 * Results to an MQTT broker, outward only: a station publishes what is in its journals and listens
 * to nothing. Only the shop's dashboard listens, and it reaches no station.
 */
@NullMarked
package kitproof.mqtt;

import org.jspecify.annotations.NullMarked;
