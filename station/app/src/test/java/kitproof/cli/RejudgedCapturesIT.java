package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Judging that begins at the captures beside a record. */
class RejudgedCapturesIT extends CaptureScene {
  @Test
  void judgingBeginsAtTheCapturesIfToldTo() throws IOException {
    Path plan = shortPlan(folder, "all");
    Path records = folder.resolve("records");
    Cli run = run(plan, records);
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    limits("low: 90 dB");
    Cli judged = rejudge(records, "--captures-of", plan, "--bench", BENCH);
    assertThat(judged.code()).as(judged.err()).isZero();
    assertThat(judged.err()).isEmpty();
    assertThat(judged.out()).contains("1 of 1 runs would change", "gain", "pass -> fail");
    keptApart(records, plan);
    Cli half = rejudge(records, "--bench", BENCH);
    assertThat(half.code()).isEqualTo(2);
    assertThat(half.err()).contains("--captures-of or --bench alone");
  }

  /** New judgements of figures as recorded, and of figures measured again, are two documents. */
  private void keptApart(Path records, Path plan) throws IOException {
    List<Object> recorded =
        List.of(
            "rejudge", "--write", "--limits", folder.resolve("limits.yaml"), "--records", records);
    List<Object> again = new ArrayList<>(recorded);
    again.addAll(List.of("--captures-of", plan, "--bench", BENCH));
    for (List<Object> command : List.of(recorded, again)) {
      assertThat(Cli.run(command.toArray()).out()).contains("new judgements kept: 1");
      assertThat(Cli.run(command.toArray()).out()).contains("kept: 0; 1 were there already");
    }
    List<Path> kept = rejudged(records);
    assertThat(kept).hasSize(2);
    String limits = Digest.of(folder.resolve("limits.yaml")).substring(7, 19);
    String by = Digest.of(plan).substring(7, 19) + "-bench-" + Digest.of(BENCH).substring(7, 19);
    assertThat(kept.get(0).toString())
        .endsWith("limits-" + limits + ".captures-plan-" + by + ".json");
    assertThat(kept.get(1).toString()).endsWith("LN12-001.limits-" + limits + ".json");
    String text = Files.readString(kept.get(0));
    JsonNode document = new ObjectMapper().readTree(text);
    assertThat(document.at("/measuredAgain/plan").asText()).isEqualTo(Digest.of(plan));
    assertThat(document.at("/measuredAgain/troubles")).isEmpty();
    assertThat(document.findValues("figure")).isNotEmpty();
    assertThat(Files.readString(kept.get(1))).contains("\"measuredAgain\" : null");
    // found otherwise before, as by another version of the program: both stay
    Files.writeString(kept.get(0), text.replace("\"after\" : \"fail\"", "\"after\" : \"pass\""));
    assertThat(Cli.run(again.toArray()).out()).contains("new judgements kept: 1");
    assertThat(rejudged(records)).hasSize(3).anyMatch(f -> f.toString().endsWith(by + ".2.json"));
    assertThat(Files.readString(kept.get(0))).contains("\"after\" : \"pass\"");
  }

  private static List<Path> rejudged(Path records) throws IOException {
    try (Stream<Path> files = Files.list(records.resolve("rejudged"))) {
      return files.sorted().toList();
    }
  }
}
