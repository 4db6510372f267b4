package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.driver.BenchContext;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Settings;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeMeter;
import kitproof.event.Event;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** The safe state on a bench whose mains and drive are on two boards, both behind a meter. */
@Timeout(60)
class TwoBoardsTest {
  private static final String BENCH =
      """
      bench: two boards
      roles:
        hv-meter: {driver: fake, kind: meter}
        mains-relays:
          driver: fake
          kind: switcher
          routes:
            mains off:     {group: mains, purpose: mains-off}
            mains limited: {group: mains, purpose: mains-limited, relays: [K1]}
            mains direct:  {group: mains, purpose: mains-direct, relays: [K1, K2]}
        drive-relays:
          driver: fake
          kind: switcher
          routes:
            drive muted:   {group: drive, purpose: mute}
            drive:         {group: drive, purpose: drive, relays: [K1]}
            8 ohm tap:     {group: load, purpose: load, load: 8 ohm}
      """;

  private final List<String> done = new CopyOnWriteArrayList<>();
  private final CountDownLatch mainsIsOff = new CountDownLatch(1);
  private final Set<String> missing = new LinkedHashSet<>();
  private boolean driveHangs;
  private String notice = "";

  private void opened(boolean drives) throws InstrumentException {
    if (!drives) {
      done.add("mains off");
      mainsIsOff.countDown();
      return;
    }
    try {
      if (driveHangs && !mainsIsOff.await(20, TimeUnit.SECONDS)) {
        done.add("mains off waits for the drive");
      }
    } catch (InterruptedException e) {
      throw new InstrumentException(InstrumentException.Kind.OTHER, "interrupted", e);
    }
    done.add("drive muted");
  }

  private Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    String what =
        kind == InstrumentKind.METER
            ? "hv-meter"
            : context.routes().get(0).group().equals("drive") ? "drive-relays" : "mains-relays";
    if (missing.contains(what)) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE, "no " + what + " answers");
    }
    if (what.equals("mains-relays") && !notice.isEmpty()) {
      context.notice(notice);
    }
    return kind == InstrumentKind.METER
        ? new FakeMeter(new Calls(new SimulatedClock(Instant.EPOCH)), "hv-meter")
        : new BoardAtRest(context.routes(), this::opened, route -> {});
  }

  private Event.SafeState command() throws Exception {
    return SafeStarts.command(BENCH, this::open, Duration.ofSeconds(30));
  }

  @Test
  void driveIsMutedFirstWhateverTheOrderInTheFile() throws Exception {
    assertThat(command().confirmed()).isTrue();
    assertThat(done).containsExactly("drive muted", "mains off");
  }

  @Test
  void whatADriverHasToTellIsTold() throws Exception {
    notice = "no answer; asked again, and answered";
    Event.SafeState state = command();
    assertThat(state.confirmed()).isTrue();
    assertThat(state.detail()).isEqualTo("mains-relays: " + notice);
  }

  @Test
  void aDriveBoardThatHangsDoesNotHoldUpTheMains() throws Exception {
    driveHangs = true;
    assertThat(command().confirmed()).isTrue();
    assertThat(done).containsExactly("mains off", "drive muted");
  }

  @Test
  void aMeterThatIsMissingLeavesNoMainsOn() throws Exception {
    missing.add("hv-meter");
    Event.SafeState state = command();
    assertThat(done).containsExactly("drive muted", "mains off");
    assertThat(state.confirmed()).isFalse();
    assertThat(state.detail()).contains("no hv-meter answers", "put to rest as far as they answer");
  }

  @Test
  void aDriveBoardThatIsMissingLeavesNoMainsOn() throws Exception {
    missing.addAll(List.of("drive-relays", "hv-meter"));
    Event.SafeState state = command();
    assertThat(done).containsExactly("mains off");
    assertThat(state.confirmed()).isFalse();
    assertThat(state.detail()).contains("no drive-relays answers").doesNotContain("hv-meter");
  }

  @Test
  void everyBoardThatIsMissingIsTold() throws Exception {
    missing.addAll(List.of("drive-relays", "mains-relays"));
    assertThat(command().detail())
        .contains("no drive-relays answers; mains-relays: no mains-relays answers");
    assertThat(done).isEmpty();
  }
}
