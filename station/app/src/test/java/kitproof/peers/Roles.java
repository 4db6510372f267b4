package kitproof.peers;

/**
 * Parts of bench files: instruments on real interfaces, with the relays that {@link Rail} follows.
 */
final class Roles {
  private Roles() {}

  /** A relay board at the far end of a serial line, coils from 0. */
  static String modbusRelays(String line) {
    return relays("line: " + line + ", protocol: modbus-rtu, baud: 19200", 0);
  }

  /** A relay board on a TCP port, channels from 101. */
  static String scpiRelays(int port) {
    return relays("line: \"tcp://127.0.0.1:" + port + "\", protocol: scpi", 101);
  }

  private static String relays(String settings, int first) {
    return """
      relays:
        driver: relay-switcher
        kind: switcher
        settings: {%s, relays: {K1: %d, K2: %d, K3: %d, K4: %d, K5: %d, K6: %d}}
        routes:
          mains off:      {group: mains, purpose: mains-off}
          mains limited:  {group: mains, purpose: mains-limited, relays: [K1]}
          mains direct:   {group: mains, purpose: mains-direct, relays: [K1, K2]}
          drive muted:    {group: drive, purpose: mute}
          drive left:     {group: drive, purpose: drive, relays: [K3], when: {channel: left}}
          drive right:    {group: drive, purpose: drive, relays: [K4], when: {channel: right}}
          left 8 ohm tap: {group: left load, purpose: load, load: 8.02 ohm, when: {channel: left, tap: 8 ohm}}
          left 4 ohm tap: {group: left load, purpose: load, load: 4.01 ohm, relays: [K5], when: {channel: left, tap: 4 ohm}}
          right 8 ohm tap: {group: right load, purpose: load, load: 8.01 ohm, when: {channel: right, tap: 8 ohm}}
          anode:          {group: probe, when: {point: anode}}
          cathode:        {group: probe, relays: [K6], when: {point: cathode}}
    """
        .formatted(settings, first, first + 1, first + 2, first + 3, first + 4, first + 5)
        .indent(0);
  }

  /** A meter at the far end of a serial line, on the HV rail. */
  static String meter(String line) {
    return """
      hv-meter:
        driver: serial-meter
        kind: meter
        settings:
          line: %s
          functions:
            hv: {configure: "CONF:VOLT:DC 1000", unit: V}
    """
        .formatted(line);
  }

  /** The same, whose answers are waited for no longer than a second. */
  static String impatientMeter(String line) {
    return meter(line + "\n      timeout: 1 s");
  }

  /** The sound device, 2 V peak out and 40 V peak in. */
  static String audio() {
    return """
      audio:
        driver: audio-interface
        kind: audio-interface
        settings:
          outputs: {left: {channel: 1, full-scale: 2 V peak}, right: {channel: 2, full-scale: 2 V peak}}
          inputs: {left: {channel: 1, full-scale: 40 V peak}, right: {channel: 2, full-scale: 40 V peak}}
    """;
  }
}
