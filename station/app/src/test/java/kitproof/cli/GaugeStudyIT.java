package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Path;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The shipped study on the simulated bench, whose contacts differ from one who connects to another
 * (20 mohm), from connecting to connecting (8 mohm) and from run to run (2 mohm): what is built in
 * must be inside the bounds of what is found.
 *
 * <p>A contact of R before 8.02 ohm on a unit of output resistance Z lowers the level by 8.686 dB ·
 * R / (8.02 + Z); Z of a Linnet is between 0 and 3 ohm, so that each mohm takes 0.8 to 1.1 mdB.
 */
class GaugeStudyIT {
  private static final double LEAST = 8.686e-3 / (8.02 + 3);
  private static final double MOST = 8.686e-3 / 8.02;

  @TempDir Path folder;

  @Test
  void whatIsBuiltInIsFound() {
    Cli cli =
        Cli.run(
            "gauge-study",
            "spring",
            "--plan",
            Cli.example("gauge-plan.yaml"),
            "--bench",
            Cli.example("bench-simulated.yaml"),
            "--records",
            folder,
            "--units",
            "LN12-001,LN12-004,LN12-007",
            "--appraisers",
            "Ann,Ben,Cleo",
            "--repeats",
            "2",
            "--seed",
            "12",
            "--at",
            "20 kHz",
            "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    JsonNode study = cli.json();
    assertThat(study.get("done").asInt()).isEqualTo(18);
    JsonNode left = result(study, "gain", "left").get("anova");
    holds(left, "repeatabilityBounds", Math.hypot(8, 2));
    holds(left, "reproducibilityBounds", 20);
    holds(left, "gaugeBounds", Math.sqrt(20 * 20 + 8 * 8 + 2 * 2));
    assertThat(left.get("unitVariation").asDouble()).isPositive();

    assertThat(result(study, "gain", "left").get("ability").get("canJudge").asText())
        .isNotEqualTo("no");
    assertThat(result(study, "gain", "right").get("sentence").asText())
        .as("a tolerance of 0.2 dB")
        .startsWith("The station cannot judge this limit");
    // Whoever connects it, the rail is what it is; only the meter's noise differs.
    JsonNode hv = result(study, "hv", "");
    assertThat(hv.get("ability").get("canJudge").asText()).isEqualTo("yes");
    assertThat(hv.get("anova").get("gauge").asDouble()).isBetween(0.001, 0.1);
    assertThat(result(study, "frequency response", "left").get("at").asText()).contains("20");
  }

  private static void holds(JsonNode anova, String bounds, double milliohms) {
    double low = anova.get(bounds).get(0).asDouble();
    double high = anova.get(bounds).get(1).asDouble();
    assertThat(low).as(bounds).isLessThan(MOST * milliohms);
    assertThat(high).as(bounds).isGreaterThan(LEAST * milliohms);
    assertThat(low).as(bounds + " above nothing").isPositive();
  }

  private static JsonNode result(JsonNode study, String name, String channel) {
    return StreamSupport.stream(study.get("results").spliterator(), false)
        .filter(r -> r.get("result").asText().equals(name))
        .filter(r -> r.get("conditions").path("channel").asText().equals(channel))
        .findFirst()
        .orElseThrow(() -> new AssertionError(name + " " + channel));
  }
}
