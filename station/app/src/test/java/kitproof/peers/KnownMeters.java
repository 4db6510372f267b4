package kitproof.peers;

import kitproof.peer.ModbusSlave;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;

/** A supply, a valve and a person, through two meters and a relay board on serial lines. */
final class KnownMeters {
  private KnownMeters() {}

  static KnownRun start(Opened opened, Told told) throws Exception {
    PtyPair railCable = opened.add(PtyPair.open());
    PtyPair probeCable = opened.add(PtyPair.open());
    PtyPair relayCable = opened.add(PtyPair.open());
    ScpiPeer railMeter = opened.add(ScpiPeer.onPty(railCable.far()));
    ScpiPeer probe = opened.add(ScpiPeer.onPty(probeCable.far()));
    ModbusSlave slave = opened.add(ModbusSlave.on(relayCable.far()));
    var unusedRail =
        opened.add(new Rail(slave::coilsOn, 0, volts -> railMeter.value("VOLT:DC", volts)));
    probe.value("VOLT:DC", 8.8);
    probe.value("VOLT:AC", 66.5);
    probe.value("RES", 21.4);
    var unusedRamp = opened.add(new Ramp(probe, "CURR:DC", 1, 0.01));
    told.scene
        .bench(
            """
            roles:
              operator: {driver: person, kind: operator}
              relays:
                driver: relay-switcher
                kind: switcher
                settings: {line: %s, protocol: modbus-rtu, baud: 19200, timeout: 3 s, relays: {K1: 0, K2: 1, K3: 2, K4: 3, K5: 4}}
                routes:
                  mains off:       {group: mains, purpose: mains-off}
                  mains one lamp:  {group: mains, purpose: mains-limited, relays: [K1, K3], when: {lamps: 1}}
                  mains two lamps: {group: mains, purpose: mains-limited, relays: [K1], when: {lamps: 2}}
                  mains direct:    {group: mains, purpose: mains-direct, relays: [K1, K2]}
                  cold leads off:  {group: cold, purpose: cold}
                  primary:         {group: cold, purpose: cold, relays: [K4], when: {point: primary}}
                  cathode V3:      {group: probe, when: {point: cathode V3}}
                  cathode V4:      {group: probe, relays: [K5], when: {point: cathode V4}}
              hv-meter:
                driver: serial-meter
                kind: meter
                settings: {line: %s, functions: {hv: {configure: "CONF:VOLT:DC 1000", unit: V}}}
              probe:
                driver: serial-meter
                kind: meter
                settings:
                  line: %s
                  functions:
                    dc-voltage: {configure: "CONF:VOLT:DC 100", unit: V}
                    power: {configure: "CONF:VOLT:AC 300", unit: W}
                    resistance: {configure: "CONF:RES 10000", unit: ohm}
                    current: {configure: "CONF:CURR:DC 10", unit: A, scale: 0.1}
            """
                .formatted(relayCable.near(), railCable.near(), probeCable.near()))
        .plan(
            """
            steps:
              - {step: connect, procedure: prompt, say: connect the unit}
              - {step: cold, procedure: resistance, conditions: {point: primary}, meter: probe, every: 50 ms}
              - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter, function: hv, power-meter: probe, watch: 2500 ms, every: 100 ms, on-fail: stop}
              - {step: one lamp, procedure: supply-rise, conditions: {lamps: 1}, meter: hv-meter, function: hv, result: second rise, watch: 500 ms, every: 100 ms, on-fail: stop}
              - {step: warm-up, procedure: warm-up, mains: direct, conditions: {point: cathode V3}, meter: hv-meter, function: hv, window: 1 s, at-least: 1 s, at-most: 30 s, every: 100 ms}
              - {step: rail, procedure: reading, meter: hv-meter, function: hv, result: hv, count: 5, every: 20 ms}
              - {step: dissipation, procedure: dissipation, conditions: {point: cathode V4}, meter: probe, function: dc-voltage, cathode-resistor: 270 ohm, anode-meter: hv-meter, anode-function: hv, maximum: 12 W, every: 20 ms}
              - {step: bias, procedure: adjust, conditions: {point: cathode V3}, say: turn, control: trimmer, meter: probe, function: dc-voltage, result: bias as set, window: 8.6 V..9 V, dwell: 500 ms, every: 50 ms}
              - {step: by eye, procedure: entry, say: read the panel meter, result: hv by eye, plausible: 0 V..600 V}
              - {step: soak, procedure: drift, meter: probe, function: current, result: current, unit: A, soak: 2 s, every: 50 ms}
            shut-down:
              - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, give-up-after: 30 s, every: 50 ms}
            """);
    Expected expected = expected();
    told.scene.limits(expected.limits());
    return new KnownRun(
        told, opened.add(told.scene.startOnTerminal("LN12-104")), "LN12-104", expected);
  }

  private static Expected expected() {
    double amperes = 8.8 / 270;
    double watts = (Rail.FULL_VOLTS - 8.8) * amperes;
    double[] rise = {0.2, 1.8};
    return new Expected()
        .near("resistance", "", 21.4, 0.01, "ohm")
        .curve("supply rise", "", "s", rise, t -> 140, 145, "V")
        .near("supply rise peak", "", Rail.LIMITED_VOLTS, 4, "V")
        .near("supply rise settled", "", Rail.LIMITED_VOLTS, 4, "V")
        .between("supply rise time to settle", "", 0.5, 2.5, "s")
        .curve("mains power rise", "", "s", rise, t -> 66.5, 0.1, "W")
        .near("mains power rise peak", "", 66.5, 0.1, "W")
        .near("mains power rise settled", "", 66.5, 0.1, "W")
        .between("mains power rise time to settle", "", 0, 1, "s")
        .curve("second rise", "", "s", new double[] {0.1, 0.3}, t -> Rail.LIMITED_VOLTS, 6, "V")
        .near("second rise peak", "", Rail.LIMITED_VOLTS, 4, "V")
        .near("second rise settled", "", Rail.LIMITED_VOLTS, 4, "V")
        .between("second rise time to settle", "", 0, 1, "s")
        .near("warm-up settled", "", Rail.FULL_VOLTS, 4, "V")
        .between("warm-up time", "", 1, 20, "s")
        .near("hv", "", Rail.FULL_VOLTS, 2, "V")
        .between("hv spread", "", 0, 2, "V")
        .near("idle current", "", amperes, 1e-5, "A")
        .near("dissipation", "", watts, 0.1, "W")
        .near("dissipation share", "", 100 * watts / 12, 1, "%")
        .near("bias as set", "", 8.8, 0.001, "V")
        .near("hv by eye", "", 331, 0, "V")
        .curve("current", "", "s", rise, t -> 0.175, 0.075, "A") // it rises from the start of all
        .near("current per minute", "", 0.06, 0.01, "A") // by a busy machine's clock
        .near("current change", "", 0.002, 0.0006, "A")
        .curve("discharge", "", "s", new double[] {0.1, 0.9}, t -> 170, 175, "V")
        .near("discharge time constant", "", Rail.TIME_CONSTANT_SECONDS, 0.05, "s")
        .near("discharge time to 60 V", "", 0.5 * Math.log(330 / 60.0), 0.25, "s")
        .near("discharge time to safe", "", 0.5 * Math.log(330 / 30.0), 0.25, "s");
  }
}
