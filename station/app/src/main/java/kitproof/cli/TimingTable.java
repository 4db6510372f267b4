package kitproof.cli;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import kitproof.run.Timing;

/** Where the seconds of a run went, for people and for programs. */
final class TimingTable {
  private TimingTable() {}

  /**
   * A line for each part that took any time; real time beside it where the bench's is simulated.
   */
  static List<String> lines(Timing timing, boolean simulated) {
    List<String> lines = new ArrayList<>();
    lines.add(
        simulated ? "where the time went (bench; real in brackets):" : "where the time went:");
    for (Timing.Part part : Timing.Part.values()) {
      if (!timing.bench(part).isZero() || !timing.real(part).isZero()) {
        lines.add(line(part.toString(), timing.bench(part), timing.real(part), simulated));
      }
    }
    Duration computing = timing.computing();
    lines.add(line("computing", simulated ? timing.benchRest() : computing, computing, simulated));
    lines.add(line("all", timing.benchTotal(), timing.realTotal(), simulated));
    return lines;
  }

  private static String line(String what, Duration bench, Duration real, boolean simulated) {
    String line =
        String.format(Locale.ROOT, "  %-28s %9.2f s", what, seconds(simulated ? bench : real));
    return simulated ? line + String.format(Locale.ROOT, "  (%.2f s)", seconds(real)) : line;
  }

  /** Seconds of bench time by part; computing is real time. */
  static Map<String, Object> tree(Timing timing) {
    Map<String, Object> fields = new LinkedHashMap<>();
    for (Timing.Part part : Timing.Part.values()) {
      fields.put(part.name().toLowerCase(Locale.ROOT), seconds(timing.bench(part)));
    }
    fields.put("computing", seconds(timing.computing()));
    fields.put("bench", seconds(timing.benchTotal()));
    fields.put("real", seconds(timing.realTotal()));
    return fields;
  }

  private static double seconds(Duration duration) {
    return duration.toMillis() / 1e3;
  }
}
