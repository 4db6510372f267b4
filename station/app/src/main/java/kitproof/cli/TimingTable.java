package kitproof.cli;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import kitproof.run.Times;
import kitproof.run.Timing;

/** Where the seconds of a run went, for people and for programs. */
final class TimingTable {

  private TimingTable() {}

  /**
   * A line for each part that took any time, then one for each mode and tap, or whatever else the
   * steps with signals differ by; real time beside it where the bench's is simulated.
   */
  static List<String> lines(Timing timing, boolean simulated) {
    Times all = timing.all();
    List<String> lines = new ArrayList<>();
    lines.add(
        simulated ? "where the time went (bench; real in brackets):" : "where the time went:");
    for (Timing.Part part : Timing.Part.values()) {
      if (!all.bench(part).isZero() || !all.real(part).isZero()) {
        lines.add(line(part.toString(), all.bench(part), all.real(part), simulated));
      }
    }
    Duration computing = all.computing();
    lines.add(line("computing", simulated ? all.benchRest() : computing, computing, simulated));
    lines.add(line("all", all.benchTotal(), all.realTotal(), simulated));
    Map<String, Times> heard = heard(timing);
    if (!heard.isEmpty()) {
      lines.add(
          String.format(
              Locale.ROOT,
              "%-48s signal  settling  interface  switching  computing       all",
              "steps with signals"));
      heard.forEach((under, times) -> lines.add(row(under, times)));
      lines.add(limit(heard.values().stream().reduce(Times.NONE, Times::plus)));
    }
    return lines;
  }

  /** Of the steps in which signals were played, by what they measured under. */
  private static Map<String, Times> heard(Timing timing) {
    Map<String, Times> heard = new LinkedHashMap<>();
    for (Timing.StepTimes step : timing.steps()) {
      if (!step.times().bench(Timing.Part.SIGNAL).isZero()) {
        String under =
            new TreeMap<>(step.conditions().values())
                .entrySet().stream()
                    .map(entry -> entry.getKey() + " " + entry.getValue())
                    .collect(Collectors.joining(", "));
        heard.merge(under, step.times(), Times::plus);
      }
    }
    return heard;
  }

  private static String row(String under, Times times) {
    return String.format(
        Locale.ROOT,
        "  %-44s %8.2f %9.2f %10.2f %10.2f %10.2f %9.2f s",
        under.isEmpty() ? "without conditions" : under,
        seconds(times.bench(Timing.Part.SIGNAL)),
        seconds(times.bench(Timing.Part.SETTLING)),
        seconds(times.bench(Timing.Part.INTERFACE)),
        seconds(times.bench(Timing.Part.SWITCHING)),
        seconds(times.computing()),
        seconds(times.benchTotal()));
  }

  private static String limit(Times times) {
    double signal = seconds(times.bench(Timing.Part.SIGNAL));
    double settling = seconds(times.bench(Timing.Part.SETTLING));
    return String.format(
        Locale.ROOT,
        "  to signal and settling computing adds %.1f %%, the interface %.1f %%; of the time,"
            + " %.0f %% is signal",
        100 * seconds(times.computing()) / (signal + settling),
        100 * seconds(times.bench(Timing.Part.INTERFACE)) / (signal + settling),
        100 * signal / seconds(times.benchTotal()));
  }

  private static String line(String what, Duration bench, Duration real, boolean simulated) {
    String line =
        String.format(Locale.ROOT, "  %-28s %9.2f s", what, seconds(simulated ? bench : real));
    return simulated ? line + String.format(Locale.ROOT, "  (%.2f s)", seconds(real)) : line;
  }

  /** Seconds of bench time by part; computing is real time. */
  static Map<String, Object> tree(Timing timing) {
    Map<String, Object> fields = fields(timing.all());
    fields.put("real", seconds(timing.all().realTotal()));
    Map<String, Object> heard = new LinkedHashMap<>();
    heard(timing).forEach((under, times) -> heard.put(under, fields(times)));
    fields.put("signals under", heard);
    return fields;
  }

  private static Map<String, Object> fields(Times times) {
    Map<String, Object> fields = new LinkedHashMap<>();
    for (Timing.Part part : Timing.Part.values()) {
      fields.put(part.name().toLowerCase(Locale.ROOT), seconds(times.bench(part)));
    }
    fields.put("computing", seconds(times.computing()));
    fields.put("bench", seconds(times.benchTotal()));
    return fields;
  }

  private static double seconds(Duration duration) {
    return duration.toMillis() / 1e3;
  }
}
