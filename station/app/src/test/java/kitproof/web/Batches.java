package kitproof.web;

import java.util.ArrayList;
import java.util.List;
import kitproof.board.Sender;
import kitproof.event.Verdict;
import kitproof.mqtt.Message;

/** What a made-up shop has told. */
final class Batches {
  private Batches() {}

  /** Eleven units with some faults, a twelfth in work, one station away. */
  static List<Message> twelve() {
    Sender one = new Sender("bench-1");
    for (int i = 1; i <= 10; i++) {
      one.unit(
          "LN12-%03d".formatted(i),
          "first twelve",
          i,
          i == 2 || i == 7 ? 1.4e-3 : 0.5e-3 + 0.02e-3 * (i * 7 % 5),
          i == 7 ? -2.2 : -0.5 - 0.05 * (i % 4));
    }
    one.unit("LN12-002", "first twelve", 12, 0.55e-3, -0.5)
        .broken("LN12-011", "first twelve", 13, Verdict.ABORTED);
    one.running("LN12-012", "first twelve", 14);
    List<Message> all = new ArrayList<>(one.sent());
    all.addAll(new Sender("bench-2").status("offline", "").sent());
    all.addAll(new Sender("bench-3").status("online", "").sent());
    return all;
  }

  /** The same, and more stations beside the three: every third is testing, ready, or offline. */
  static List<Message> twelve(int stations) {
    List<Message> all = new ArrayList<>(twelve());
    for (int i = 4; i <= stations; i++) {
      Sender one = new Sender("bench-" + i);
      all.addAll(
          switch (i % 3) {
            case 0 -> one.status("online", "").sent();
            case 1 -> one.running("LN12-" + (100 + i), "first twelve", 20 + i).sent();
            default -> one.status("offline", "").sent();
          });
    }
    return all;
  }

  /**
   * Forty units of another batch whose hum goes with station, time and mains voltage, on a bench
   * that drifts, as its check standard shows.
   */
  static List<Message> drifting() {
    return drifting("bench-1", "bench-2", "CS-01");
  }

  /** The same on stations of these names, the first of which drifts, by a check standard. */
  static List<Message> drifting(String first, String second, String standard) {
    double aMinute = 1e-6;
    List<Sender> benches = List.of(new Sender(first), new Sender(second));
    for (int i = 1; i <= 40; i++) {
      int mains = 225 + i * 7 % 11;
      int minute = -120 + 2 * i;
      double hum =
          3e-4 + aMinute * 2 * i + (i % 2) * 4e-5 + 1e-5 * (mains - 225) + 1e-7 * (i * 5 % 7);
      benches
          .get(i % 2)
          .mains(mains)
          .unit("LN12-%d".formatted(200 + i), "autumn", minute, hum, -0.5);
    }
    Sender checks = new Sender(first).checking();
    for (int i = 0; i <= 9; i++) {
      int minute = -119 + 9 * i;
      checks.unit(standard, "", minute, 2e-4 + aMinute * (minute + 120) + 1e-7 * (i * 3 % 5), -0.5);
    }
    List<Message> all = new ArrayList<>();
    List.of(benches.get(0), benches.get(1), checks).forEach(one -> all.addAll(one.retained()));
    return all;
  }
}
