package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Set;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.peer.SoundServer;
import org.junit.jupiter.api.Test;

/** Faults of the audio interface, at a real sound server. */
@Alone
class AudioFaultsIT extends FaultRows {
  private static final String STEPS =
      "  - {step: distortion, procedure: distortion, mains: direct,"
          + " conditions: {channel: left, tap: 8 ohm}, power: 0.5 W, listen: %s}\n";

  private static final int KILLED = 17;

  AudioFaultsIT() {
    super(FaultTable.Section.AUDIO);
  }

  private interface Sound {
    void at(SoundServer server) throws Exception;
  }

  /**
   * A run with a sound server whose loop has this gain.
   *
   * @param before done before the run
   * @param during done once the drive is on
   */
  private RunRecord sound(
      int number,
      String fault,
      String expected,
      Verdict verdict,
      double gain,
      String listen,
      Sound before,
      Sound during)
      throws Exception {
    String unit = unit(number);
    try (SoundServer server = SoundServer.start();
        SerialBench bench = new SerialBench(own(number), Roles.audio(), STEPS.formatted(listen))) {
      server.insert("amp", "amp_mono", gain);
      before.at(server);
      bench.scene.limits(SerialBench.RISE + "  - {result: thd, high: 5 %}\n");
      if (number != KILLED) { // what a dead server leaves behind shall not be the next row's
        bench.inside();
      }
      try (Program program = bench.scene.start(unit)) {
        bench.awaitRelay(program, Rail.DRIVE_LEFT);
        during.at(server);
        RunRecord record = bench.scene.ended(program, unit, verdict);
        assertThat(record.safeStates()).as(fault).allMatch(Event.SafeState::confirmed);
        assertThat(bench.slave.history())
            .as(fault)
            .contains(Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.DRIVE_LEFT))
            .endsWith(Set.<Integer>of());
        assertThat(Results.value(record, "discharge time to safe")).as(fault).isNotNegative();
        table.put(number, fault, expected, seen(record));
        return record;
      }
    }
  }

  /** Which call met a device first that is gone, and what it says of it, is a matter of chance. */
  @Override
  String seen(RunRecord record) {
    String seen = super.seen(record);
    return record.unit().equals(unit(KILLED))
        ? seen.replaceFirst("“audio: [^”]*”", "“audio: …”")
        : seen;
  }

  @Test
  void audioGone() throws Exception {
    sound(
        KILLED,
        "audio device gone in the middle of a signal (the sound server is killed)",
        ERROR,
        Verdict.ERROR,
        0.1,
        "5 s",
        server -> {},
        SoundServer::kill);
  }

  @Test
  void inputClipped() throws Exception {
    sound(
        19,
        "audio: input clipped in every capture",
        "fail: a step asks for no more than the input takes, so what is beyond comes from the unit;"
            + " no figure is made of it",
        Verdict.FAIL,
        1e7,
        "1 s",
        server -> {},
        server -> {});
  }

  @Test
  void samplesLost() throws Exception {
    try (Listening way = new Listening(own(18), 48_000, 2_400)) {
      RunRecord record =
          sound(
              18,
              "audio: samples lost in every capture (4 of each 2400, on their way back)",
              "error, mains off, discharge watched: no figure is made of it, and the unit is not"
                  + " blamed",
              Verdict.ERROR,
              0.1,
              "1 s",
              way::inPlace,
              server -> {});
      assertThat(record.reason()).contains("samples were lost in 4 captures in a row");
    }
  }

  @Test
  void wrongSampleRate() throws Exception {
    try (Listening way = new Listening(own(20), 44_100, 0)) {
      RunRecord record =
          sound(
              20,
              "audio: what is captured comes at 44.1 kHz and is told as 48 kHz",
              "error, mains off, discharge watched: never a figure",
              Verdict.ERROR,
              0.1,
              "1 s",
              way::inPlace,
              server -> {});
      assertThat(record.steps().get(1).results()).isEmpty();
    }
  }
}
