package kitproof.mqtt;

/**
 * Who publishes.
 *
 * @param shop where the station stands
 * @param name unique in the shop
 */
public record Station(String shop, String name) {}
