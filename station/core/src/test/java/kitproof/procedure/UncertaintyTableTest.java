package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import kitproof.document.Binder;
import kitproof.document.YamlReader;
import org.junit.jupiter.api.Test;

/**
 * The table of station/docs/uncertainty.md is what the procedures say of their results: which there
 * are, what the uncertainty of each needs in the calibration, and which can be guarded. What makes
 * each uncertain stands beside them by hand; that every result that says so does get its
 * uncertainty is held by the tests on drawn benches, see {@link DrawnBench}.
 */
class UncertaintyTableTest {
  private static final Path TABLE = Path.of("..", "docs", "uncertainty.md");

  /** Settings with which each procedure that judges a unit promises all that it can promise. */
  private static final Map<String, String> SETTINGS = new LinkedHashMap<>();

  static {
    String meter = "meter: m, function: f";
    SETTINGS.put("reading", "{" + meter + ", result: R, count: 3}");
    SETTINGS.put("reading-at-power", "{power: 1 W, " + meter + ", result: R, count: 3}");
    SETTINGS.put("resistance", "{" + meter + "}");
    SETTINGS.put("supply-rise", "{" + meter + ", watch: 4 s}");
    SETTINGS.put("warm-up", "{" + meter + "}");
    SETTINGS.put(
        "adjust",
        "{" + meter + ", say: turn it, control: a trimmer, result: R, window: 10 V..20 V}");
    SETTINGS.put(
        "dissipation",
        "{"
            + meter
            + ", cathode-resistor: 10 ohm, anode-meter: a, anode-function: f,"
            + " maximum: 12 W}");
    SETTINGS.put("drift", "{" + meter + ", result: drift, unit: V, soak: 60 s}");
    SETTINGS.put("discharge", "{" + meter + ", safe: 30 V}");
    SETTINGS.put("gain", "{power: 1 W}");
    SETTINGS.put("frequency-response", "{power: 1 W}");
    SETTINGS.put("distortion", "{power: 1 W, harmonics: 2}");
    SETTINGS.put("output-impedance", "{power: 1 W, second-load: other}");
    SETTINGS.put(
        "input-impedance",
        "{power: 1 W, through-resistor: r, resistor: 47 kohm, source-within: 1 ohm}");
    SETTINGS.put("crosstalk", "{power: 1 W}");
    SETTINGS.put("channel-balance", "{power: 1 W}");
    SETTINGS.put("comparison", "{curve: C, against: {channel: right}}");
    SETTINGS.put("spectrum", "{power: 1 W}");
    SETTINGS.put("difference-frequency-distortion", "{power: 1 W}");
    SETTINGS.put("modulation-distortion", "{power: 1 W}");
    SETTINGS.put("hum", "{lines: 1}");
    SETTINGS.put("noise", "{rated: 10 W}");
    SETTINGS.put("square-wave", "{power: 1 W}");
    SETTINGS.put("stability", "{power: 1 W}");
    SETTINGS.put("distortion-against-frequency", "{power: 1 W, harmonics: 2}");
    SETTINGS.put("distortion-against-power", "{powers: 1 W..10 W, rated: 5 W, harmonics: 2}");
    SETTINGS.put("entry", "{say: read it, result: R, plausible: 0 V..600 V}");
  }

  private static <S extends Record> List<Outline.Promise> promises(
      Procedure<S> procedure, String yaml) {
    S settings =
        YamlReader.read("s.yaml", yaml)
            .flatMap(section -> new Binder().bind(section, procedure.settings()))
            .value();
    return procedure.outline(settings).promises();
  }

  /** A row without what is written by hand: procedure, result, needs, guarded. */
  private static List<String> rows() {
    List<String> rows = new ArrayList<>();
    SETTINGS.forEach(
        (id, settings) -> {
          for (Outline.Promise each : promises(Procedures.byId(id).orElseThrow(), settings)) {
            TreeSet<Outline.Basis> needs = new TreeSet<>(each.basis());
            String weighting = each.more().values().getOrDefault("weighting", "");
            String row =
                "| %s | %s%s | %s | %s |"
                    .formatted(
                        id,
                        each.name(),
                        weighting.isEmpty() ? "" : ", weighting " + weighting,
                        needs.isEmpty()
                            ? "-"
                            : String.join(
                                "; ", needs.stream().map(Outline.Basis::toString).toList()),
                        needs.isEmpty() ? "no" : "yes");
            if (!rows.contains(row)) {
              rows.add(row);
            }
          }
        });
    return rows;
  }

  @Test
  void theTableIsWhatTheProceduresSay() throws IOException {
    String text = Files.readString(TABLE);
    int from = text.indexOf("| procedure |");
    int to = text.indexOf("\n\n", from);
    List<String> made = new ArrayList<>();
    made.add("| procedure | result | needs in the calibration | can be guarded |");
    made.add("|---|---|---|---|");
    made.addAll(rows());
    if (Boolean.getBoolean("kitproof.docs.write")) {
      String whole = String.join("\n", made);
      Files.writeString(TABLE, text.substring(0, from) + whole + text.substring(to));
    }
    assertThat(Files.readString(TABLE)).contains(String.join("\n", made) + "\n\n");
  }

  /** What has no uncertainty is exactly what can have none: a yes or no, and what a person says. */
  @Test
  void onlyAYesOrNoAndWhatIsEnteredHaveNone() {
    assertThat(rows().stream().filter(row -> row.endsWith("| no |")))
        .containsExactlyInAnyOrder(
            "| frequency-response | polarity | - | no |", "| entry | R | - | no |");
  }
}
