package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Which captures are kept beside the record, and in which form. */
class CapturesIT extends CaptureScene {
  @Test
  void asFlacTheyAreSmallerAndMeasureTheSame() throws IOException {
    Path wav = folder.resolve("wav");
    assertThat(run(shortPlan(folder, "all"), wav).code()).isZero();
    Path plan = shortPlan(folder, "{keep: all, as: flac}");
    Path records = folder.resolve("records");
    Cli run = run(plan, records);
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    Path record = record(run);
    List<Path> kept = wavs(records);
    assertThat(kept).hasSameSizeAs(wavs(wav)).allMatch(f -> f.toString().endsWith(".flac"));
    for (int i = 0; i < kept.size(); i++) {
      assertThat(Files.size(kept.get(i))).isLessThan(Files.size(wavs(wav).get(i)) * 3 / 4);
    }
    // the simulated interface gives more than 24 bits
    assertThat(new ObjectMapper().readTree(record.toFile()).get("notices").toString())
        .containsOnlyOnce("rounded to the 24 bits that FLAC holds");
    Cli again = again(record, plan);
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(again.json().get("troubles")).isEmpty();
    assertThat(left(again, "value")).isCloseTo(left(again, "record"), within(1e-5));

    Cli judged =
        Cli.run(
            "rejudge",
            "--limits",
            limits("low: 90 dB"),
            "--records",
            records,
            "--captures-of",
            plan,
            "--bench",
            BENCH);
    assertThat(judged.out()).contains("1 of 1 runs would change", "gain", "pass -> fail");

    String file = kept.get(0).toString();
    Cli flac = Cli.run("analyze", file, "--full-scale", "20 V", "--json");
    Cli same = Cli.run("analyze", wavs(wav).get(0), "--full-scale", "20 V", "--json");
    assertThat(flac.code()).as(flac.err()).isZero();
    double level = flac.json().at("/results/0/value").asDouble();
    assertThat(level)
        .isPositive()
        .isCloseTo(same.json().at("/results/0/value").asDouble(), within(1e-6));

    assertThat(Cli.run("store", "verify", "--records", records).code()).isZero();
    byte[] bytes = Files.readAllBytes(kept.get(0));
    bytes[bytes.length / 2] ^= 1;
    Files.write(kept.get(0), bytes);
    Cli verify = Cli.run("store", "verify", "--records", records);
    assertThat(verify.code()).isEqualTo(4);
    assertThat(verify.err()).contains("0001-gain.flac: it was altered after it was written");
    assertThat(Cli.run("analyze", file).err()).contains("0001-gain.flac: found ");
  }

  @Test
  void aCaptureThatWasAlteredOrIsMissingIsNamed() throws IOException {
    Path plan = shortPlan(folder, "all");
    Path records = folder.resolve("records");
    Path record = record(run(plan, records));
    assertThat(Cli.run("store", "verify", "--records", records).code()).isZero();
    Path first = wavs(records).get(0);
    byte[] bytes = Files.readAllBytes(first);
    bytes[bytes.length / 2] ^= 1;
    Files.write(first, bytes);
    Cli verify = Cli.run("store", "verify", "--records", records);
    assertThat(verify.code()).isEqualTo(4);
    assertThat(verify.err()).contains("0001-gain.wav: it was altered after it was written");
    Cli again = again(record, plan);
    assertThat(again.code()).isEqualTo(2);
    assertThat(again.err()).contains("not measured again: step \"gain\"", "altered");
    Files.delete(first);
    assertThat(Cli.run("store", "verify", "--records", records).err()).contains("it is missing");
  }

  @Test
  void ofUnitsThatPassNothingIsKeptIfOnlyFailedOnesAreWanted() throws IOException {
    Path plan = shortPlan(folder, "failed");
    Path good = folder.resolve("good");
    assertThat(run(plan, good).code()).isZero();
    assertThat(wavs(good)).isEmpty();
    limits("low: 90 dB");
    Path bad = folder.resolve("bad");
    Cli failed = run(plan, bad);
    assertThat(failed.code()).isEqualTo(1);
    assertThat(wavs(bad)).isNotEmpty();
    assertThat(Files.readString(record(failed))).contains("\"capture-kept\"", "0001-gain.wav");
    assertThat(Cli.run("store", "verify", "--records", bad).code()).isZero();
  }

  @Test
  void withoutTheOptionNothingIsKept() throws IOException {
    Path records = folder.resolve("records");
    assertThat(run(shortPlan(folder, "none"), records).code()).isZero();
    assertThat(wavs(records)).isEmpty();
    Cli typo = run(shortPlan(folder, "fail"), records);
    assertThat(typo.code()).isEqualTo(2);
    assertThat(typo.err()).contains("found captures \"fail\"; expected one of none, failed, all");
    Cli form = run(shortPlan(folder, "{keep: all, as: flak}"), records);
    assertThat(form.code()).isEqualTo(2);
    assertThat(form.err()).contains("found as \"flak\"", "\"flac\"");
  }
}
