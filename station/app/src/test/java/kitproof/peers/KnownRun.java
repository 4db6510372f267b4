package kitproof.peers;

import kitproof.journal.RunRecord;

/** A run under way, with what it must measure. */
record KnownRun(Told told, Program program, String unit, Expected expected) {
  /** Starts a plan of these steps on a bench that is wired. */
  static KnownRun start(SoundRun bench, Told told, String unit, String steps, Expected expected)
      throws Exception {
    told.scene
        .sound(bench.server.alsaConfiguration())
        .bench(bench.roles())
        .plan("steps:\n" + steps)
        .limits(expected.limits());
    return new KnownRun(told, told.scene.start(unit), unit, expected);
  }

  /** Its record, every result of it judged, good and told everywhere. */
  RunRecord passed() throws Exception {
    return told.passed(program, unit, expected);
  }
}
