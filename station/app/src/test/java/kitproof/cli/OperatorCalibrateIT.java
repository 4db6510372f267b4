package kitproof.cli;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.Route;
import com.microsoft.playwright.assertions.LocatorAssertions;
import com.microsoft.playwright.options.ColorScheme;
import com.microsoft.playwright.options.SelectOption;
import com.microsoft.playwright.options.ViewportSize;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import kitproof.calibration.Calibration;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import kitproof.web.Access;
import kitproof.web.Chromium;
import org.junit.jupiter.api.Test;

/**
 * A calibration at the operator's screen, through the same prompts, and the lock of the station.
 */
class OperatorCalibrateIT extends OperatorPages {
  /** Of the certificate, later than the calibration itself holds. */
  private static final LocalDate DUE = LocalDate.now(ZoneOffset.UTC).plusDays(300);

  private static final String BENCH =
      """
      bench: small bench
      shop: demo-shop
      station: bench-7
      selfcheck: {check-standard: CS-07}
      roles:
        operator: {driver: person-with-a-hand, kind: operator, settings: {bench: small}}
        relays:
          driver: simulated-bench
          kind: switcher
          settings: {bench: small, relays: {K1: drive-left, K2: left-4-ohm}, loads: {left-8-ohm: 8.071 ohm}}
          routes:
            drive muted:  {group: drive, purpose: mute}
            drive left:   {group: drive, purpose: drive, relays: [K1], when: {channel: left}}
            left 8 ohm tap: {group: left load, purpose: load, load: 8 ohm, when: {channel: left, tap: 8 ohm}}
        ohmmeter:
          driver: simulated-bench
          kind: meter
          settings: {bench: small, functions: {load: {point: load-left}}}
      """;
  private static final String PLAN =
      """
      plan: loads
      product: bench
      revision: A
      holds-days: 30
      limits: limits-loads.yaml
      steps:
        - step: connect
          procedure: prompt
          say: Put the ohmmeter's four leads on the left load
          caution: Mains off, the unit off the bench. Loads that have been driven are hot.
        - step: loads
          procedure: calibrate-resistance
          select: [left 8 ohm tap]
          meter: ohmmeter
          function: load
          limits: "±(0.05 % + 3 digits)"
          resolution: 1 mohm
          routes: [left 8 ohm tap]
      """;

  @Test
  void aBenchIsCalibratedAtTheScreenAndItsStationThenLockedUntilItIsChecked() throws Exception {
    Files.delete(folder.resolve("causes.yaml")); // of another product
    Path bench = Files.writeString(folder.resolve("small.yaml"), BENCH);
    Files.writeString(folder.resolve("loads.yaml"), PLAN);
    Files.writeString(
        folder.resolve("limits-loads.yaml"),
        "limits: loads\nproduct: bench\nrevision: A\nrule: simple acceptance\n"
            + "judge: [{result: resistance as connected, low: 7 ohm, high: 9 ohm}]\n");
    // What the ohmmeter's certificate says is to be taken out, and counts here as well.
    Files.writeString(
        folder.resolve("small.calibration.yaml"),
        "bench: small bench\ndate: 2026-01-01\ndue: 2026-01-31\ninstruments: {ohmmeter:"
            + " {corrections: [{function: load, gain: 0.995, u: 1 mohm}]}}\n");
    served = new Served(folder, bench, 20, new Access("127.0.0.1", 0, null));
    Page page = open();
    assertThat(page.locator("#notices"))
        .containsText("The station is locked: it has not been checked yet");

    page.locator("#plan").selectOption("loads.yaml");
    page.locator("#batch").fill("pilot");
    enterPapers(page);
    thePapersOutliveACalibrationThatIsStopped(page);
    page.locator("#serial").fill("bench-7");
    page.locator("#serial").press("Enter");
    Locator question = page.locator("#question");
    assertThat(question).containsText("Put the ohmmeter's four leads on the left load");
    assertThat(question).containsText("Loads that have been driven are hot");
    chromium.assertAccessible(page);
    assertThat(page.locator("#standing")).hasText("Uncalibrated: this run calibrates the bench.");
    assertThat(page.locator("#notices"))
        .containsText("as the instruments show them, but for what is told as corrected");
    assertThat(page.locator("#notices")).containsText("corrected: ohmmeter load ×0.995");
    chromium.picture(page, "operator-calibration");
    question.locator("#done").click();
    assertThat(page.locator("#verdict-title"))
        .containsText("pass", patiently()); // not the one before
    assertThat(page.locator("body")).containsText("The bench is calibrated", patiently());
    assertThat(page.locator("#papers-entered li")).hasCount(0); // they stand in the file
    assertThat(batches()).as("of both calibrations").containsExactly("", "");
    Calibration found = Calibration.read(folder.resolve("small.calibration.yaml")).value();
    assertThat(found.due())
        .hasValueSatisfying(
            due ->
                assertThat(due)
                    .isBetween(
                        LocalDate.now(ZoneOffset.UTC).plusDays(29),
                        LocalDate.now(ZoneOffset.UTC).plusDays(30)));
    assertThat(found.certificates())
        .containsExactly("ohmmeter: C-17 of <b>A</b> \"Laboratory\", until " + DUE);
    assertThat(found.meter("ohmmeter", "load", Quantity.of(8, Unit.OHM)).orElseThrow().standard())
        .isCloseTo((0.004 + 0.003) / Math.sqrt(3), within(1e-12));
    assertThat(found.resistance("left 8 ohm tap"))
        .hasValueSatisfying(
            known ->
                assertThat(known.value().value())
                    .isCloseTo(0.995 * 8.071, within(2 * known.standard())));
    assertThat(folder.resolve("small.calibration.yaml"))
        .content(StandardCharsets.UTF_8)
        .contains("\nby: \"A. <i>Person</i> \\\"too\\\"\"\n");

    Files.writeString(
        folder.resolve("unit.yaml"),
        PLAN.replace("plan: loads", "plan: unit")
                .replace("limits-loads", "limits-unit")
                .replaceFirst("(?s)steps:.*", "")
                .replace("holds-days: 30\n", "")
            + "steps:\n  - {step: load, procedure: reading, meter: ohmmeter, function: load,"
            + " result: load}\n");
    Files.writeString(
        folder.resolve("limits-unit.yaml"),
        "limits: unit\nproduct: bench\nrevision: A\nrule: simple acceptance\n"
            + "judge: [{result: load, low: 7 ohm, high: 9 ohm}]\n");
    page.reload();
    page.locator("#plan").selectOption("unit.yaml");
    page.locator("#serial").fill("U-1");
    page.locator("#serial").press("Enter");
    assertThat(page.locator("#refused")).containsText("station \"bench-7\" locked", patiently());
    assertThat(page.locator("#refused")).containsText("it has not been checked yet");
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-locked");
    onAPhoneInTheDark(page, page.locator("#lock-form"), "operator-locked-phone-dark");
    theLockIsOpenedForOneRun(page);
    whereTheBrowserKeepsNothingThePageWorksAllTheSame(page);
    chromium.assertNoComplaints();
  }

  /** What a certificate and the maker say of the ohmmeter, typed as they say it. */
  private void enterPapers(Page page) {
    page.locator("#papers summary").click();
    page.locator("#certificate-role").selectOption("ohmmeter");
    page.locator("#certificate-number").fill("C-17");
    page.locator("#certificate-date").fill("2026-03-01");
    page.locator("#certificate-due").fill(DUE.toString());
    page.locator("#certificate-by").fill("<b>A</b> \"Laboratory\"");
    page.locator("#certificate-by").press("Enter");
    page.locator("#accuracy-function").selectOption(new SelectOption().setLabel("ohmmeter: load"));
    page.locator("#accuracy-limits").fill("±(0.05 % + 3 digits)");
    List<Route> late = new ArrayList<>(); // what is asked when something is entered
    page.route("**/api/check*", late::add);
    page.locator("#accuracy-form button").click(); // without the digit that the limits count in
    assertThat(page.locator("#papers-entered li")).hasCount(2);
    assertThat(page.locator("#papers-entered")).containsText("<b>A</b> \"Laboratory\"");
    page.locator("#serial").fill("bench-7");
    page.locator("#serial").press("Enter");
    assertThat(page.locator("#problems"))
        .containsText("found digits without a resolution", patiently());
    page.waitForResponse("**/api/check*", () -> late.forEach(Route::resume)).finished();
    page.unroute("**/api/check*");
    page.evaluate("() => fetch('/api/plans').then(answer => answer.text())"); // it has been read
    assertThat(page.locator("#problems")).containsText("found digits without a resolution");
    page.locator("#accuracy-limits").fill("±(0.05 % + 3 digits)");
    page.locator("#accuracy-resolution").fill("1 mohm");
    page.locator("#accuracy-form button").click();
    assertThat(page.locator("#papers-entered li")).hasCount(2);
    assertThat(page.locator("#problems-part")).isHidden(); // it was mended
    page.locator("#serial").press("Enter");
    assertThat(page.locator("#refused"))
        .containsText("a calibration needs the name of the person who does it", patiently());
    assertThat(page.locator("#calibrator")).isFocused(); // what lacks is typed at once
    page.locator("#calibrator").fill("A. <i>Person</i> \"too\"");
    assertThat(page.locator("#refused")).isHidden();
    chromium.assertAccessible(page);
    chromium.picture(page, "operator-papers");
    onAPhoneInTheDark(page, page.locator("#papers"), "operator-papers-phone-dark");
  }

  /** Typed once, they are there for the next try, and on a page that is loaded again. */
  private void thePapersOutliveACalibrationThatIsStopped(Page page) {
    page.locator("#serial").fill("bench-7");
    page.locator("#serial").press("Enter");
    assertThat(page.locator("#question")).containsText("Put the ohmmeter's four leads");
    page.locator("#stop").click();
    assertVerdict(page, "aborted");
    assertThat(page.locator("#order"))
        .isVisible(new LocatorAssertions.IsVisibleOptions().setTimeout(30_000));
    page.reload();
    page.locator("#plan").selectOption("loads.yaml");
    assertThat(page.locator("#papers-entered li")).hasCount(2);
    assertThat(page.locator("#papers-entered")).containsText("certificate C-17 of <b>A</b>");
    page.locator("#calibrator").fill("Somebody else"); // and nothing is sent
    page.reload();
    page.locator("#plan").selectOption("loads.yaml");
    assertThat(page.locator("#calibrator")).hasValue("Somebody else");
    page.locator("#calibrator").fill("A. <i>Person</i> \"too\"");
  }

  /** The same page as it would be there; then as before. */
  private void onAPhoneInTheDark(Page page, Locator part, String name) {
    ViewportSize size = page.viewportSize();
    page.setViewportSize(360, 740);
    page.emulateMedia(new Page.EmulateMediaOptions().setColorScheme(ColorScheme.DARK));
    part.scrollIntoViewIfNeeded();
    Chromium.assertNothingSticksOut(page);
    chromium.assertAccessible(page);
    chromium.picture(page, name);
    page.evaluate("scrollTo(0, 0)");
    chromium.wholePicture(page, name + "-whole");
    page.emulateMedia(new Page.EmulateMediaOptions().setColorScheme(ColorScheme.LIGHT));
    page.setViewportSize(size.width, size.height);
  }

  /** By name and reason, which every figure then says; the next run is refused again. */
  private void theLockIsOpenedForOneRun(Page page) throws IOException {
    page.locator("#opener").fill("A. <i>Person</i>");
    page.locator("#opening-reason").fill("the check standard is away");
    page.locator("#lock-form button").click();
    assertThat(page.locator("#verdict-unit")).containsText("U-1", patiently());
    assertVerdict(page, "pass");
    assertThat(page.locator("#notices"))
        .containsText("STATION LOCK OVERRIDDEN by A. <i>Person</i>: the check standard is away");
    chromium.picture(page, "operator-lock-opened");
    assertThat(page.locator("#order")) // then the record is written
        .isVisible(new LocatorAssertions.IsVisibleOptions().setTimeout(30_000));
    RunRecord record = records("-U-1.json").get(0);
    assertThat(record.notices())
        .anyMatch(told -> told.startsWith("STATION LOCK OVERRIDDEN by A. <i>Person</i>: the"));
    assertThat(record.steps().get(0).results().get(0).measurement().note())
        .startsWith("station lock overridden by A. <i>Person</i>");
    page.locator("#serial").fill("U-2");
    page.locator("#serial").press("Enter");
    assertThat(page.locator("#refused")).containsText("station \"bench-7\" locked", patiently());
    assertThat(page.locator("#opener")).hasValue("");
  }

  /** As with site data blocked: the page's own storage cannot even be asked for. */
  private void whereTheBrowserKeepsNothingThePageWorksAllTheSame(Page page) {
    page.addInitScript(
        "Object.defineProperty(window, 'sessionStorage',"
            + " {get() { throw new DOMException('blocked', 'SecurityError'); }})");
    page.reload();
    page.locator("#plan").selectOption("loads.yaml");
    page.locator("#papers summary").click();
    page.locator("#accuracy-function").selectOption(new SelectOption().setLabel("ohmmeter: load"));
    page.locator("#accuracy-limits").fill("±1 %");
    page.locator("#accuracy-form button").click();
    assertThat(page.locator("#papers-entered li")).hasCount(1);
  }

  private List<String> batches() throws IOException {
    return records("-bench-7.json").stream().map(RunRecord::batch).toList();
  }

  private List<RunRecord> records(String ending) throws IOException {
    List<RunRecord> records = new ArrayList<>();
    try (Stream<Path> files = Files.list(folder.resolve("records"))) {
      for (Path file : files.filter(f -> f.toString().endsWith(ending)).toList()) {
        records.add(RecordDocument.read(file));
      }
    }
    return records;
  }
}
