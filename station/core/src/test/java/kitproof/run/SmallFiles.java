package kitproof.run;

/** A plan, its bench and its limits, small and good, as users write them. */
final class SmallFiles {
  private SmallFiles() {}

  static final String PLAN =
      """
      plan: small plan
      product: Linnet 12
      revision: B
      limits: limits.yaml
      steps:
        - step: first power
          procedure: supply-rise
          meter: hv-meter
          function: hv
          watch: 4 s
          on-fail: stop
        - step: rail
          procedure: reading
          mains: direct
          wait: 2 s
          meter: hv-meter
          function: hv
          result: hv
          count: 2
        - repeat: {channel: [left, right], tap: [4 ohm, 8 ohm]}
          steps:
            - {step: gain, procedure: gain, power: 1 W}
        - step: distortion
          procedure: distortion
          conditions: {channel: left, tap: 8 ohm, mode: triode}
          power: 1 W
          harmonics: 3
          listen: 40 ms
      shut-down:
        - step: discharge
          procedure: discharge
          meter: hv-meter
          function: hv
          safe: 30 V
          every: 500 ms
      """;

  /** The plan with a second power-up that is not judged. */
  static final String POWERED_TWICE =
      PLAN.replace(
          "shut-down:",
          "  - {step: rest, procedure: reading, mains: off, meter: hv-meter, function: hv, result:"
              + " rest}\n"
              + "  - {step: again, procedure: reading, mains: direct, meter: hv-meter, function: hv,"
              + " result: again}\n"
              + "shut-down:");

  static final String BENCH =
      """
      bench: bench of fakes
      roles:
        relays:
          driver: fake
          kind: switcher
          routes:
            mains off:       {group: mains, purpose: mains-off}
            mains limited:   {group: mains, purpose: mains-limited, relays: [K1]}
            mains direct:    {group: mains, purpose: mains-direct, relays: [K1, K2]}
            drive muted:     {group: drive, purpose: mute}
            drive left:      {group: drive, purpose: drive, relays: [K3], when: {channel: left}}
            drive right:     {group: drive, purpose: drive, relays: [K4], when: {channel: right}}
            left 8 ohm tap:  {group: left load, purpose: load, load: 8.02 ohm, relays: [K5], when: {channel: left, tap: 8 ohm}}
            left 4 ohm tap:  {group: left load, purpose: load, load: 4.01 ohm, relays: [K6], when: {channel: left, tap: 4 ohm}}
            right 8 ohm tap: {group: right load, purpose: load, load: 8.01 ohm, when: {channel: right, tap: 8 ohm}}
            right 4 ohm tap: {group: right load, purpose: load, load: 3.99 ohm, relays: [K7], when: {channel: right, tap: 4 ohm}}
            left 16 ohm tap: {group: left load, purpose: load, load: 16 ohm, when: {channel: left, tap: 16 ohm}}
            left other load: {group: left load, purpose: load, load: 2 ohm, relays: [K9]}
            ultralinear:     {group: mode, when: {mode: ultralinear}}
            triode:          {group: mode, relays: [K8], when: {mode: triode}}
        hv-meter:
          driver: fake
          kind: meter
        audio:
          driver: fake
          kind: audio-interface
      """;

  static final String LIMITS =
      """
      limits: small limits
      product: Linnet 12
      revision: B
      rule: simple acceptance
      judge:
        - {result: supply rise settled, low: 300 V, high: 340 V}
        - {result: supply rise, mask: [{at: 1500 ms, low: 50 V}, {at: 4 s, low: 50 V}]}
        - {result: hv, low: 300 V, high: 340 V}
        - {result: gain, low: 25.9 dB, high: 26.1 dB}
        - {result: thd, high: 0.1 %}
        - {result: discharge time constant, low: 1.9 s, high: 2.1 s}
      """;
}
