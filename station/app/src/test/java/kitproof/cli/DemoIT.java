package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.LocatorAssertions;
import com.microsoft.playwright.options.ColorScheme;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Credentials;
import kitproof.peer.Mosquitto;
import kitproof.web.Access;
import kitproof.web.Chromium;
import kitproof.web.OneBrowser;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/**
 * The demonstration, the first three of its twelve units, as a program of its own, within the
 * memory that is promised, and watched on a board from its start to the last verdict.
 */
@ExtendWith(OneBrowser.class)
class DemoIT {
  private final Chromium chromium = OneBrowser.get();

  /** Of twelve; a busy machine takes a minute for each. */
  private static final int UNITS = 3;

  @TempDir Path folder;

  @Test
  void threeUnitsRunIn256MegabytesAndTheBoardShowsWhatTheJsonSays() throws Exception {
    try (Mosquitto broker = Mosquitto.inMemory(folder.resolve("broker")).start();
        ShopBoard board =
            ShopBoard.open(
                BrokerAddress.parse("mqtt://127.0.0.1:" + broker.port()),
                Credentials.NONE,
                new Access("127.0.0.1", 0, null),
                null)) {
      Page page = chromium.page(1280, 1000, ColorScheme.LIGHT);
      page.navigate(board.address());
      assertThat(page.locator("#no-stations")).isVisible();
      batch(broker.port(), page);
      chromium.assertNoComplaints();
    }
  }

  /** From the first sign of a unit to the last verdict; the verdicts as they are shown. */
  private List<String> watch(Page page) {
    LocatorAssertions.ContainsTextOptions patiently =
        new LocatorAssertions.ContainsTextOptions().setTimeout(120_000);
    LocatorAssertions.HasCountOptions finished =
        new LocatorAssertions.HasCountOptions().setTimeout(120_000);
    Locator card = page.locator(".station");
    assertThat(card).containsText("LN12-001", patiently);
    assertThat(card.locator(".mark").first()).hasText("testing");
    assertThat(card).containsText(Pattern.compile("step \\d+ of \\d+"), patiently);
    chromium.picture(page, "demo-running");
    assertThat(page.locator("#units tr")).hasCount(1, finished);
    assertThat(page.locator("#units tr")).containsText(new String[] {"LN12-001"});
    for (int i = 2; i <= UNITS; i++) {
      assertThat(card).containsText("LN12-00" + i, patiently);
      if (i == UNITS) {
        assertThat(card).containsText("simulated bench, ", patiently);
        assertThat(page.locator("#figures")).containsText("in "); // the expected end
      }
      assertThat(page.locator("#units tr")).hasCount(i, finished);
    }
    assertThat(page.locator("#figures")).containsText(UNITS + " of " + UNITS);
    assertThat(page.locator("#figures")).containsText("done");
    assertThat(page.locator("#failures")).containsText("cathode voltage");
    assertThat(page.locator("#counts")).not().containsText("malformed");
    chromium.assertAccessible(page);
    chromium.wholePicture(page, "demo-done");
    List<String> verdicts = new ArrayList<>(page.locator("#units .mark").allTextContents());
    Collections.reverse(verdicts); // the latest stands first
    page.getByText("LN12-002").first().click();
    assertThat(page.locator("#verdict")).hasText("fail");
    assertThat(page.locator("#facts")).containsText("of a simulated bench’s time");
    assertThat(page.locator("#failed")).containsText("cathode voltage (point cathode V4)");
    assertThat(page.locator(".curves").first()).isVisible();
    chromium.picture(page, "demo-unit");
    return verdicts;
  }

  private void batch(int port, Page page) throws Exception {
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
                String.valueOf(UNITS),
                "--json",
                "--broker",
                "mqtt://127.0.0.1:" + port,
                "--records",
                folder.resolve("records").toString())
            .redirectOutput(out.toFile())
            .redirectError(err.toFile())
            .start();
    List<String> shown;
    try {
      shown = watch(page);
      assertThat(demo.waitFor(5, TimeUnit.MINUTES)).as("it ends").isTrue();
    } finally {
      demo.destroyForcibly();
    }
    String errors = Files.readString(err);
    assertThat(demo.exitValue()).as(errors).isEqualTo(1);
    JsonNode json = new ObjectMapper().readTree(out.toFile());
    assertThat(json.fieldNames()).toIterable().containsExactly("units");
    JsonNode units = json.get("units");
    assertThat(units).hasSize(UNITS);
    assertThat(units).extracting(unit -> unit.get("verdict").asText()).isEqualTo(shown);
    assertThat(units.get(0).get("serial").asText()).isEqualTo("LN12-001");
    assertThat(units.get(0).get("verdict").asText()).isEqualTo("pass");
    assertThat(units.get(0).get("failed")).isEmpty();
    assertThat(units.get(1).get("serial").asText()).isEqualTo("LN12-002");
    assertThat(units.get(1).get("verdict").asText()).isEqualTo("fail");
    assertThat(units.get(1).get("failed"))
        .extracting(JsonNode::asText)
        .contains("cathode voltage (point cathode V4)");
    assertThat(Path.of(units.get(1).get("record").asText())).exists();
    assertThat(errors).doesNotContain("note:", "Exception");
  }
}
