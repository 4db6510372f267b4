package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.plugin.PluginJar;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The driver that the developers' guide shows, from its text to a judged result. */
class ExampleDriverTest {
  @TempDir Path folder;
  private Path plugins;
  private Path plan;
  private Path bench;
  private Path sensor;

  @BeforeEach
  void makeAll() throws IOException {
    plugins = Files.createDirectory(folder.resolve("plugins"));
    PluginJar.compiled("example.FileMeterProvider", source())
        .write(plugins.resolve("file-meter.jar"));
    sensor = Files.writeString(folder.resolve("sensor"), "23500\n");
    plan =
        Files.writeString(
            folder.resolve("plan.yaml"),
            """
            plan: room
            product: Room
            revision: A
            limits: limits.yaml
            steps:
              - step: battery
                procedure: reading
                meter: sensor
                function: value
                result: battery
            """);
    bench =
        Files.writeString(
            folder.resolve("bench.yaml"),
            """
            bench: room
            shop: s
            station: t
            time: real
            roles:
              sensor:
                driver: file-meter
                kind: meter
                settings: {file: "%s", one: 1 mV}
            """
                .formatted(sensor));
    Files.writeString(
        folder.resolve("limits.yaml"),
        """
        limits: room
        product: Room
        revision: A
        rule: simple acceptance
        judge:
          - {result: battery, low: 20 V, high: 26 V}
        """);
  }

  private static String source() throws IOException {
    Matcher block =
        Pattern.compile("(?s)```java\n(package example;.*?)```")
            .matcher(Files.readString(Cli.HOME.resolve("DEVELOPERS.md")));
    assertThat(block.find()).as("the guide has the example").isTrue();
    return block.group(1);
  }

  private Cli run() {
    return run("R1");
  }

  private Cli run(String unit) {
    return Cli.run(
        "run",
        plan,
        "--bench",
        bench,
        "--unit",
        unit,
        "--plugins",
        plugins,
        "--records",
        folder.resolve("records"),
        "--uncalibrated");
  }

  @Test
  void aNewcomersDriverHasUnderAHundredLines() throws IOException {
    assertThat(source().lines()).hasSizeLessThan(100);
  }

  @Test
  void itIsListedBesideTheOthers() {
    Cli cli = Cli.run("drivers", "--plugins", plugins);
    assertThat(cli.code()).isZero();
    assertThat(cli.out()).contains("file-meter  (meter; file-meter.jar)", "serial-meter");
  }

  @Test
  void itsReadingIsJudged() throws IOException {
    Cli cli = run();
    assertThat(cli.code()).as(cli.out() + cli.err()).isZero();
    assertThat(cli.out()).containsPattern("pass  battery +23\\.5 V   20 V to 26 V");
    Files.writeString(sensor, "19000");
    assertThat(run("R2").out()).containsPattern("FAIL  battery +19 V   below 20 V");
  }

  @Test
  void itsTroubleEndsTheRunInError() throws IOException {
    Files.writeString(sensor, "nothing to read");
    Cli cli = run();
    assertThat(cli.code()).isEqualTo(4);
    assertThat(cli.out()).contains("says \"nothing to read\"").contains("sensor");
  }

  @Test
  void itsSettingsAreCheckedWithTheirPlace() throws IOException {
    Files.writeString(bench, Files.readString(bench).replace("one: 1 mV", "oen: 1 mV"));
    Cli cli = Cli.run("check", plan, bench, "--plugins", plugins);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err())
        .contains(bench + ":9:")
        .contains("no \"one\" in this section")
        .contains("found setting \"oen\"")
        .endsWith("2 problems" + System.lineSeparator());
  }

  @Test
  void aBrokenJarBesideItIsNotedAndDoesNotStopTheRun() throws IOException {
    Files.writeString(plugins.resolve("broken.jar"), "no jar");
    Cli cli = run();
    assertThat(cli.code()).isZero();
    assertThat(cli.err()).startsWith("note: plugin left out: broken.jar: is not a readable jar");
    Cli list = Cli.run("drivers", "--plugins", plugins, "--json");
    assertThat(list.code()).isEqualTo(4);
    JsonNode trouble = list.json().get("troubles").get(0);
    assertThat(trouble.get("origin").asText()).isEqualTo("broken.jar");
  }
}
