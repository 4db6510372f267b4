package kitproof.peers;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.plugin.PluginJar;

/**
 * Runs of the whole program in simulated time with a driver plugin from a jar, as anybody may add
 * one, whose instruments misbehave as the bench file says.
 */
final class PluginScene {
  private static final String PLAN =
      """
      steps:
        - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 4 s, on-fail: stop}
        - {step: rail, procedure: reading, mains: direct, wait: 2 s, meter: hv-meter, function: hv, result: hv, on-fail: stop}
        - {step: trim, procedure: adjust, say: Turn the trimmer, control: trimmer, meter: hv-meter, function: hv, result: trimmed, window: 320 V..340 V, dwell: 1 s}
        - {step: gain, procedure: gain, conditions: {channel: left, tap: 4 ohm}, power: 1 W, on-fail: stop}
      shut-down:
        - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, every: 500 ms}
      """;

  private static final String LIMITS =
      """
        - {result: supply rise settled, low: 300 V, high: 340 V}
        - {result: supply rise, mask: [{at: 1500 ms, low: 50 V}, {at: 4 s, low: 50 V}]}
        - {result: hv, low: 300 V, high: 340 V}
        - {result: gain, low: 25.9 dB, high: 26.1 dB}
      """;

  private PluginScene() {}

  /** Compiles the plugin and writes its jar, alone in a folder. */
  static Path plugins(Path folder) throws IOException {
    try (InputStream source = PluginScene.class.getResourceAsStream("FaultyProvider.java")) {
      Path plugins = Files.createDirectory(folder.resolve("plugins"));
      PluginJar.compiled(
              "faulty.FaultyProvider", new String(source.readAllBytes(), StandardCharsets.UTF_8))
          .write(plugins.resolve("faulty.jar"));
      return plugins;
    }
  }

  /**
   * Files of a bench on which one instrument misbehaves once the limiter is out.
   *
   * @param role whose; empty for none
   * @param fault what it does
   * @param in in which of its methods
   */
  static Scene in(Path folder, Path plugins, String role, String fault, String in)
      throws IOException {
    String trouble = "{fault: %s, in: %s}".formatted(fault, in);
    StringBuilder roles = new StringBuilder("time: simulated\nroles:\n");
    roles.append(
        Roles.modbusRelays("unused")
            .replace("driver: relay-switcher", "driver: faulty")
            .replaceFirst(
                "(?m)^( *)settings: .*\n",
                role.equals("relays") ? "$1settings: " + trouble + "\n" : ""));
    for (String[] one :
        new String[][] {
          {"hv-meter", "meter"}, {"audio", "audio-interface"}, {"operator", "operator"}
        }) {
      String settings = one[0].equals(role) ? ", settings: " + trouble : "";
      roles.append("  %s: {driver: faulty, kind: %s%s}\n".formatted(one[0], one[1], settings));
    }
    return new Scene(folder).bench(roles.toString()).plan(PLAN).limits(LIMITS).plugins(plugins);
  }
}
