package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import kitproof.event.Verdict;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

/** What is proved, against what happens to relays that move one at a time. */
class DriveProofTest {
  private static final int CASES = 1500;
  private static final int ORDERS = 24;

  private static final String TWO_LOADS =
      """
        - step: output impedance
          procedure: output-impedance
          conditions: {channel: left, tap: 8 ohm, mode: triode}
          power: 1 W
          second-load: "{channel} other load"
          sweep: 200 ms
          band: 100 Hz..10 kHz
      shut-down:
      """;

  private final FakeStation station = new FakeStation();

  private DriveProof.Result proof() {
    return DriveProof.of(station.plan(), station.bench());
  }

  private static String said(DriveProof.Result result) {
    assertThat(result.problems()).hasSize(1);
    return result.problems().get(0).toString();
  }

  @Test
  void theSmallPlanIsProved() {
    DriveProof.Result result = proof();
    assertThat(result.problems()).isEmpty();
    assertThat(result.steps()).isEqualTo(8);
    assertThat(result.moves()).isGreaterThan(30);
  }

  @Test
  void aDriveWithoutALoadIsNamedWithItsStep() {
    station.plan =
        station.plan.replace("{channel: [left, right], tap: [4 ohm, 8 ohm]}", "{channel: [left]}");
    assertThat(said(proof())).startsWith("plan.yaml:").contains("no load", "in step gain");
  }

  @Test
  void mainsBeforeTheRiseIsNamedWithItsStep() {
    station.plan = station.plan.replace("on-fail: stop", "on-fail: go on");
    assertThat(said(proof())).contains("limiter stays in", "in step rail");
  }

  @Test
  void aSecondPowerUpThatIsNotJudgedIsNamedWithItsStep() {
    station.plan = SmallFiles.POWERED_TWICE;
    assertThat(said(proof())).contains("limiter stays in", "in step again");
  }

  /** Both relays move at one command: the direct one may be the first. */
  @Test
  void lampsInSeriesBehindARelayOfTheirOwnCanComeTooLate() {
    station.bench =
        station
            .bench
            .replace("mains-limited, relays: [K1]", "mains-limited, relays: [K1, K2]")
            .replace("mains-direct, relays: [K1, K2]", "mains-direct, relays: [K1]");
    assertThat(said(proof()))
        .contains("\"mains direct\" closed before a rise", "in step first power");
  }

  @Test
  void aModeThatTakesAnOutputsLoadAwayIsNamed() {
    station.bench = station.bench.replace("relays: [K5], when", "relays: [K5, K8], when");
    station.plan =
        station.plan.replace("left, tap: 8 ohm, mode: triode", "left, tap: 4 ohm, mode: triode");
    assertThat(said(proof())).contains("left load has no load", "in step distortion");
  }

  @Test
  void aSecondLoadThatStepsSelectByThemselvesIsWalked() {
    int before = proof().moves();
    station.plan = station.plan.replace("shut-down:\n", TWO_LOADS);
    assertThat(proof().problems()).isEmpty();
    assertThat(proof().moves()).isGreaterThan(before);
  }

  /**
   * Both are commanded at once: the one may move its loads before the other has muted its drive.
   */
  @Test
  void twoBoardsThatCarryDriveMayComeToRestInEitherOrder() {
    String right =
        station.bench.lines().filter(l -> l.contains("drive right:")).findFirst().orElseThrow();
    String other =
        """
          other-relays:
            driver: fake
            kind: switcher
            routes:
              other muted: {group: other drive, purpose: mute}
        """
            + right.replace("group: drive", "group: other drive").replace("K4", "K1")
            + "\n";
    String without =
        station
            .bench
            .replace(right + "\n", "")
            .replace("load: 3.99 ohm, relays: [K7]", "load: 3.99 ohm, relays: [K7, K10]");
    station.bench = without.replace("roles:\n", "roles:\n" + other);
    assertThat(said(proof())).contains("has no load", "on the way to the safe state");
    station.bench = without.replace("  hv-meter:\n", other + "  hv-meter:\n");
    assertThat(said(proof())).contains("has no load", "on the way to the safe state");
  }

  /** K7 is half of the way to the right output's load of 4 ohm: alone, it leads nowhere. */
  @Test
  void aSecondLoadThatTakesAnotherOutputsLoadAwayIsNamed() {
    station.plan = station.plan.replace("shut-down:\n", TWO_LOADS);
    station.bench =
        station
            .bench
            .replace(
                "left load, purpose: load, load: 2 ohm, relays: [K9]", "mode, relays: [K8, K7]")
            .replace("load: 3.99 ohm, relays: [K7]", "load: 3.99 ohm, relays: [K7, K10]");
    assertThat(said(proof()))
        .contains("drive connected while right load has no load", "in step output impedance");
  }

  private void withRanges() {
    String range = "$1range %s V: {group: input range, purpose: range, full-scale: %s V%s}\n";
    station.bench =
        station.bench.replaceFirst(
            "( *)ultralinear:",
            String.format(range, 20, 20, "")
                + String.format(range, 5, 5, ", relays: [K11]")
                + "$1ultralinear:");
  }

  @Test
  void inputRangesAreWalkedWhereStepsListen() {
    int before = proof().moves();
    withRanges();
    assertThat(proof().problems()).isEmpty();
    assertThat(proof().moves()).isGreaterThan(2 * before);
  }

  @Test
  void anInputRangeThatTakesAnOutputsLoadAwayIsNamed() {
    withRanges();
    station.bench =
        station
            .bench
            .replace("full-scale: 5 V, relays: [K11]", "full-scale: 5 V, relays: [K11, K7]")
            .replace("load: 3.99 ohm, relays: [K7]", "load: 3.99 ohm, relays: [K7, K10]");
    assertThat(said(proof()))
        .contains("drive connected while right load has no load", "in step gain");
  }

  @Test
  void everyProofHoldsOnTheRelaysAndEveryRefusalHasItsReason() throws Exception {
    int proved = 0;
    int refused = 0;
    for (long seed = 1; seed <= CASES; seed++) {
      RandomBench random = new RandomBench(seed);
      Bench bench = random.bench();
      Plan plan = random.plan(bench);
      DriveProof.Result result = DriveProof.of(plan, bench);
      if (result.proved()) {
        proved++;
        harmless(bench, plan, seed);
      } else {
        refused++;
        harmful(bench, plan, seed, result.problems());
      }
    }
    assertThat(proved).as("proved of %d", CASES).isGreaterThan(CASES / 5);
    assertThat(refused).as("refused of %d", CASES).isGreaterThan(CASES / 5);
  }

  /** Which of two boards that drive is muted first is then up to their threads. */
  @Test
  void everyProofHoldsWhereTwoBoardsDriveSideBySide() throws Exception {
    int proved = 0;
    for (long seed = 1; seed <= CASES / 5; seed++) {
      RandomBench random = new RandomBench(seed).drivesApart();
      Bench bench = random.bench();
      Plan plan = random.plan(bench);
      if (bench.roles().containsKey("right drive") && DriveProof.of(plan, bench).proved()) {
        proved++;
        harmless(bench, plan, seed);
      }
    }
    assertThat(proved).as("proved").isGreaterThan(CASES / 5 / 10);
  }

  private static void harmless(Bench bench, Plan plan, long seed) throws Exception {
    TracedBench whole = new TracedBench(bench, plan, seed);
    Verdict verdict = whole.run();
    assertThat(verdict).as("seed %d: %s", seed, whole.reason()).isEqualTo(Verdict.PASS);
    assertThat(whole.violations()).as("seed %d", seed).isEmpty();
    int call = 1 + (int) (seed * 7919 % whole.calls());
    TracedBench broken = new TracedBench(bench, plan, seed + 1).failAt(call);
    broken.run();
    assertThat(broken.violations()).as("seed %d, call %d fails", seed, call).isEmpty();
  }

  /** Some order of the relays does the harm, or the station itself refuses the step. */
  private static void harmful(Bench bench, Plan plan, long seed, List<Problem> told)
      throws Exception {
    String message = told.get(0).found();
    String step = message.substring(message.lastIndexOf("in step ") + 8).replaceFirst(" \\(.*", "");
    boolean shown = false;
    for (int order = 0; order < ORDERS && !shown; order++) {
      TracedBench traced = new TracedBench(bench, plan, seed * ORDERS + order);
      switch (order % 3) {
        case 0 -> {}
        case 1 -> traced.breakIn(step);
        default -> traced.badRise();
      }
      boolean refused = traced.run() == Verdict.ERROR && order % 3 != 1;
      shown = refused || !traced.violations().isEmpty();
    }
    assertThat(shown).as("seed %d: %s", seed, told).isTrue();
  }
}
