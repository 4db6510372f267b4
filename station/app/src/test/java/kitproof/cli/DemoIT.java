package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The demonstration as a program of its own, within the memory that is promised. */
class DemoIT {
  @TempDir Path folder;

  @Test
  void twoUnitsRunIn256MegabytesAndTheJsonSaysWhatCameOfThem() throws Exception {
    Path out = folder.resolve("out");
    Path err = folder.resolve("err");
    Process demo =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx256m",
                "-XX:+ExitOnOutOfMemoryError",
                "-Dkitproof.home=" + Cli.HOME,
                "-cp",
                System.getProperty("java.class.path"),
                "kitproof.cli.Main",
                "demo",
                "--fast",
                "--units",
                "2",
                "--json",
                "--records",
                folder.resolve("records").toString())
            .redirectOutput(out.toFile())
            .redirectError(err.toFile())
            .start();
    try {
      assertThat(demo.waitFor(5, TimeUnit.MINUTES)).as("it ends").isTrue();
    } finally {
      demo.destroyForcibly();
    }
    String errors = Files.readString(err);
    assertThat(demo.exitValue()).as(errors).isEqualTo(1);
    JsonNode json = new ObjectMapper().readTree(out.toFile());
    assertThat(json.fieldNames()).toIterable().containsExactly("units");
    JsonNode units = json.get("units");
    assertThat(units).hasSize(2);
    assertThat(units.get(0).get("serial").asText()).isEqualTo("LN12-001");
    assertThat(units.get(0).get("verdict").asText()).isEqualTo("pass");
    assertThat(units.get(0).get("failed")).isEmpty();
    assertThat(units.get(1).get("serial").asText()).isEqualTo("LN12-002");
    assertThat(units.get(1).get("verdict").asText()).isEqualTo("fail");
    assertThat(units.get(1).get("failed"))
        .extracting(JsonNode::asText)
        .contains("cathode voltage (point cathode V4)");
    assertThat(Path.of(units.get(1).get("record").asText())).exists();
    assertThat(errors).contains("MQTT: mqtt://127.0.0.1:").doesNotContain("note:", "Exception");
  }
}
