package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;

import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.LocatorAssertions;
import com.microsoft.playwright.assertions.LocatorAssertions.ContainsTextOptions;
import com.microsoft.playwright.assertions.LocatorAssertions.HasTextOptions;
import com.microsoft.playwright.options.ColorScheme;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.web.Access;
import kitproof.web.Chromium;
import kitproof.web.OneBrowser;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/** The operator's screen in a real browser, before a simulated bench that asks a person. */
@ExtendWith(OneBrowser.class)
abstract class OperatorPages {
  static final String CONNECT =
      """
      - step: connect
        procedure: prompt
        say: Connect the unit, all valves in, safety cover closed and locked
        caution: Mains off and HV discharged before you touch anything.
      """;
  static final String POWER =
      """
      - step: first power
        procedure: supply-rise
        conditions: {lamps: 2}
        meter: hv-meter
        function: hv
        watch: 15 s
        on-fail: stop
      - step: HV rail
        procedure: reading
        mains: direct
        wait: 25 s
        meter: hv-meter
        function: hv
        result: hv
      """;
  static final String POWER_LIMITS =
      """
      - result: supply rise
        mask: [{at: 0 s, high: 420 V}, {at: 2 s, low: 30 V, high: 420 V}, {at: 15 s, low: 150 V, high: 420 V}]
      - {result: hv, low: 318 V, high: 348 V}
      """;
  static final String WAIT =
      """
      - step: long look
        procedure: reading
        mains: direct
        wait: 4000 s
        meter: hv-meter
        function: hv
        result: hv
      """;
  static final String BY_EYE =
      """
      - step: HV rail by eye
        procedure: entry
        say: Read the panel meter on the HV rail
        result: hv on the panel meter
        plausible: 0 V..600 V
      """;
  static final String ADJUST =
      """
      - step: set bias, left
        procedure: adjust
        conditions: {point: cathode V3}
        say: Turn the left bias trimmer until the reading stays inside
        caution: HV is on. Insulated trimming tool, through the hole in the cover, one hand.
        control: left bias trimmer
        meter: probe-meter
        function: dc-voltage
        result: bias as set
        window: 5 V..14 V
        dwell: 100 s
      """;
  static final String SOUND =
      """
      - repeat: {tap: [4 ohm, 8 ohm]}
        steps:
          - {step: gain, procedure: gain, conditions: {mode: ultralinear, channel: both}, power: 1 W}
      """;
  static final String SOUND_LIMITS =
      """
      - {result: gain, when: {tap: 4 ohm}, low: 23.7 dB, high: 24.9 dB}
      - {result: gain, when: {tap: 8 ohm}, low: 26.7 dB, high: 27.9 dB}
      """;

  final Chromium chromium = OneBrowser.get();
  @TempDir Path folder;
  @Nullable Served served;

  @BeforeEach
  void writePlans() throws IOException {
    Served.plan(folder, "whole", CONNECT + POWER + BY_EYE + ADJUST + SOUND);
    Served.limits(
        folder,
        "whole",
        POWER_LIMITS
            + "- {result: hv on the panel meter, low: 310 V, high: 355 V}\n"
            + "- {result: bias as set, low: 5 V, high: 14 V}\n"
            + SOUND_LIMITS);
    Files.copy(Cli.HOME.resolve("limits/linnet-12/causes.yaml"), folder.resolve("causes.yaml"));
  }

  @AfterEach
  void stopStation() {
    if (served != null) {
      served.close();
    }
  }

  void serve() throws Exception {
    served = new Served(folder, 60, new Access("127.0.0.1", 0, null));
  }

  Page open() {
    return open(1280, 900, ColorScheme.LIGHT);
  }

  Page open(int width, int height, ColorScheme colours) {
    Page page = chromium.page(width, height, colours);
    page.navigate(served.address());
    assertThat(page.locator("#link")).hasText("live");
    return page;
  }

  static void start(Page page, String plan, String serial) {
    page.locator("#plan").selectOption(plan + ".yaml");
    page.locator("#batch").fill("pilot");
    page.locator("#serial").fill(serial);
    page.locator("#serial").press("Enter"); // as a scanner does
  }

  static HasTextOptions patient() {
    return new HasTextOptions().setTimeout(30_000);
  }

  static ContainsTextOptions patiently() {
    return new ContainsTextOptions().setTimeout(30_000);
  }

  /** The reason is told if it is another one. */
  static void assertVerdict(Page page, String word) {
    assertThat(page.locator("#verdict-title")).not().isEmpty(patientlyEmpty());
    String told =
        page.locator("#verdict-title").textContent()
            + ": "
            + page.locator("#verdict-reason").textContent();
    assertThat(told).startsWith(word + ": ");
  }

  static LocatorAssertions.IsEmptyOptions patientlyEmpty() {
    return new LocatorAssertions.IsEmptyOptions().setTimeout(30_000);
  }
}
