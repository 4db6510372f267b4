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
import java.util.Set;
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
 * The whole demonstration, as a program of its own, within the memory that is promised, and watched
 * on a board from its start to the last verdict.
 */
@ExtendWith(OneBrowser.class)
class DemoIT {
  private static final int UNITS = 12;

  /** Those whose amplifier has no fault, by the bench file. */
  private static final Set<Integer> HEALTHY = Set.of(1, 4, 7, 10, 12);

  /** A very busy machine takes half as long for one unit. */
  private static final double PATIENCE = 240_000;

  private final Chromium chromium = OneBrowser.get();

  @TempDir Path folder;

  @Test
  void theWholeBatchRunsIn256MegabytesAndTheBoardShowsEachVerdictAndWhatTheJsonSays()
      throws Exception {
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

  private static String serial(int unit) {
    return "LN12-%03d".formatted(unit);
  }

  private static String verdict(int unit) {
    return HEALTHY.contains(unit) ? "pass" : "fail";
  }

  /** From the first sign of a unit to the last verdict; the verdicts as they are shown. */
  private List<String> watch(Page page) {
    LocatorAssertions.ContainsTextOptions patiently =
        new LocatorAssertions.ContainsTextOptions().setTimeout(PATIENCE);
    Locator card = page.locator(".station");
    assertThat(card).containsText(serial(1), patiently);
    assertThat(card.locator(".mark").first()).hasText("testing");
    assertThat(card).containsText(Pattern.compile("step \\d+ of \\d+"), patiently);
    assertThat(page.locator("#figures")).containsText("0 of 12");
    chromium.picture(page, "demo-running");
    seenToTheEnd(page, 1);
    seenToTheEnd(page, 2); // before that nothing can be told of the pace
    assertThat(page.locator("#figures"))
        .containsText(Pattern.compile("Expected end.*in "), patiently);
    for (int i = 3; i <= UNITS; i++) {
      seenToTheEnd(page, i);
    }
    // the program ends at once after its last unit, so "ready" may be over before it is looked for
    assertThat(card.locator(".mark").first())
        .hasText(
            Pattern.compile("ready|offline"),
            new LocatorAssertions.HasTextOptions().setTimeout(PATIENCE));
    assertThat(page.locator("#figures")).containsText("12 of 12");
    assertThat(page.locator("#figures")).containsText("0 to come");
    assertThat(page.locator("#figures")).containsText("done");
    assertThat(page.locator("#figures div").nth(1)).containsText("41.7 %5 of 12"); // first pass
    assertThat(page.locator("#figures div").nth(2)).containsText("41.7 %5 of 12"); // final
    assertThat(page.locator("#failures")).containsText("cathode voltage");
    assertThat(page.locator("#counts")).not().containsText("malformed");
    chromium.assertAccessible(page);
    chromium.wholePicture(page, "demo-done");
    List<String> verdicts = new ArrayList<>(page.locator("#units .mark").allTextContents());
    Collections.reverse(verdicts); // the latest stands first
    page.getByText(serial(2)).first().click();
    assertThat(page.locator("#verdict")).hasText("fail");
    assertThat(page.locator("#facts")).containsText("of a simulated bench’s time");
    assertThat(page.locator("#failed")).containsText("cathode voltage (point cathode V4)");
    assertThat(page.locator(".curves").first()).isVisible();
    chromium.picture(page, "demo-unit");
    return verdicts;
  }

  /** The unit's verdict stands among the finished ones; the next may have begun, or ended too. */
  private static void seenToTheEnd(Page page, int unit) {
    Locator row =
        page.locator("#units tr")
            .filter(
                new Locator.FilterOptions()
                    .setHas(
                        page.locator("th", new Page.LocatorOptions().setHasText(serial(unit)))));
    assertThat(row).hasCount(1, new LocatorAssertions.HasCountOptions().setTimeout(PATIENCE));
    assertThat(row.locator(".mark")).hasText(verdict(unit));
  }

  private void batch(int port, Page page) throws Exception {
    Path out = folder.resolve("out");
    Path err = folder.resolve("err");
    Process demo =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx256m",
                "-XX:+UseSerialGC",
                "-XX:+ExitOnOutOfMemoryError",
                "-Dkitproof.home=" + Cli.HOME,
                "-cp",
                System.getProperty("java.class.path"),
                "kitproof.cli.Main",
                "demo",
                "--fast",
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
    for (int i = 1; i <= UNITS; i++) {
      JsonNode unit = units.get(i - 1);
      assertThat(unit.get("serial").asText()).isEqualTo(serial(i));
      assertThat(unit.get("verdict").asText()).isEqualTo(verdict(i));
      assertThat(unit.get("failed").isEmpty()).isEqualTo(HEALTHY.contains(i));
    }
    assertThat(units.get(1).get("failed"))
        .extracting(JsonNode::asText)
        .contains("cathode voltage (point cathode V4)");
    assertThat(Path.of(units.get(1).get("record").asText())).exists();
    assertThat(errors).doesNotContain("note:", "Exception");
  }
}
