package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import kitproof.driver.Answer;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A person among the instruments of a run. */
class PersonTest {
  private static final String CONNECT =
      "  - {step: connect, procedure: prompt, say: connect the unit, caution: mains off first}\n";
  private static final String BY_EYE =
      "  - {step: by eye, procedure: entry, say: read it, result: by eye, plausible: 0 V..9 V}\n";
  private static final String SET =
      "  - {step: set, procedure: adjust, say: turn, control: trimmer, meter: hv-meter,"
          + " function: hv, result: set, window: 1 V..2 V, give-up-after: 9999999 s}\n";

  private final FakeStation station = new FakeStation();

  @BeforeEach
  void person() {
    station.bench += "  operator: {driver: fake, kind: operator}\n";
  }

  /** With the mains on, before the other steps of the small plan. */
  private void after(String step) {
    station.plan = station.plan.replace("  - repeat:", step + "  - repeat:");
  }

  private long standing() throws InterruptedException {
    while (station.desk.standing().isEmpty()) {
      station.desk.await(station.desk.seen(), Duration.ofMillis(10));
    }
    return station.desk.standing().get().number();
  }

  @Test
  void aRunGoesOnWithTheAnswersAndPutsThemOnRecord() throws Exception {
    after(CONNECT + BY_EYE);
    CompletableFuture<Verdict> run = start(station.sequencer());
    assertThat(station.desk.answer(standing(), new Answer.Done())).isEmpty();
    long entry = standing();
    assertThat(station.desk.answer(entry, new Answer.Value(Quantity.of(8, Unit.VOLT)))).isEmpty();
    assertThat(run.get(60, TimeUnit.SECONDS)).isEqualTo(Verdict.PASS);
    assertThat(station.events(Event.OperatorAnswered.class))
        .containsExactly(
            new Event.OperatorAnswered("connect the unit", "done"),
            new Event.OperatorAnswered("read it [0 V to 9 V]", "8 V"));
    Invariants.check(station, "answered");
  }

  @Test
  void whoDeclinesAPromptEndsTheRunAsAborted() throws Exception {
    after(CONNECT);
    CompletableFuture<Verdict> run = start(station.sequencer());
    station.desk.answer(standing(), new Answer.Declined("no cover"));
    assertThat(run.get(60, TimeUnit.SECONDS)).isEqualTo(Verdict.ABORTED);
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .isEqualTo("the operator declined: no cover, in step connect");
    assertThat(station.outcome("connect")).isEqualTo(StepOutcome.ABORTED);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    Invariants.check(station, "declined");
  }

  @ParameterizedTest
  @ValueSource(strings = {CONNECT, BY_EYE, SET})
  void aStopWorksWhileAPersonIsWaitedFor(String step) throws Exception {
    after(step);
    Sequencer sequencer = station.sequencer();
    CompletableFuture<Verdict> run = start(sequencer);
    long number = standing();
    sequencer.stop("stopped by the operator");
    assertThat(run.get(60, TimeUnit.SECONDS)).isEqualTo(Verdict.ABORTED);
    assertThat(station.desk.standing()).isEmpty();
    assertThat(station.desk.answer(number, new Answer.Declined(""))).isPresent();
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    Invariants.check(station, step);
  }

  @Test
  void withNobodyToAskThePlanIsRefusedAtItsFirstQuestion() {
    after(CONNECT + BY_EYE);
    station.bench = station.bench.replace("{driver: fake, kind: op", "{driver: person, kind: op");
    List<Problem> problems = Preflight.nobodyToAsk(station.plan(), station.bench(), "no terminal");
    assertThat(problems).hasSize(1);
    assertThat(problems.get(0).toString())
        .startsWith("plan.yaml:")
        .contains("nobody to ask (no terminal)", "without --json");
    assertThat(Preflight.nobodyToAsk(station.plan(), station.bench(), "")).isEmpty();
  }

  @Test
  void aPlanThatAsksNobodyNeedsNobody() {
    assertThat(Preflight.nobodyToAsk(station.plan(), station.bench(), "no terminal")).isEmpty();
  }

  private static CompletableFuture<Verdict> start(Sequencer sequencer) {
    CompletableFuture<Verdict> verdict = new CompletableFuture<>();
    Thread thread =
        new Thread(
            () -> {
              try {
                verdict.complete(sequencer.run());
              } catch (java.io.IOException | RuntimeException | Error e) {
                verdict.completeExceptionally(e);
              }
            },
            "run");
    thread.setDaemon(true);
    thread.start();
    return verdict;
  }
}
