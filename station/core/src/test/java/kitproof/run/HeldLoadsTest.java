package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.document.YamlReader;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.event.Event;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * The safe state on a bench whose loads are on another board than its drive: they do not move
 * before the drive is known to be off, be it by its relays or by the audio interface.
 */
@Timeout(60)
class HeldLoadsTest {
  private static final String BENCH =
      """
      bench: two boards and an interface
      roles:
        power-relays:
          driver: fake
          kind: switcher
          routes:
            mains off:     {group: mains, purpose: mains-off}
            mains limited: {group: mains, purpose: mains-limited, relays: [K1]}
            8 ohm tap:     {group: load, purpose: load, load: 8 ohm}
            4 ohm tap:     {group: load, purpose: load, load: 4 ohm, relays: [K2]}
        drive-relays:
          driver: fake
          kind: switcher
          routes:
            drive muted:   {group: drive, purpose: mute}
            drive:         {group: drive, purpose: drive, relays: [K1]}
        audio: {driver: fake, kind: audio-interface}
      """;

  /** What an instrument does when it is told to be safe. */
  private interface Obeys {
    void now() throws InstrumentException;
  }

  private static final Obeys WELL = () -> {};
  private static final Obeys NOT =
      () -> {
        throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, "gone");
      };

  private final List<String> done = new CopyOnWriteArrayList<>();
  private final CountDownLatch mainsIsOff = new CountDownLatch(1);
  private final CountDownLatch isSilent = new CountDownLatch(1);
  private final CountDownLatch isOver = new CountDownLatch(1);
  private Obeys mute = WELL;
  private Obeys silence = WELL;
  private Obeys end = WELL;

  private static Obeys after(CountDownLatch latch) {
    return () -> {
      try {
        if (!latch.await(20, TimeUnit.SECONDS)) {
          throw new InstrumentException(InstrumentException.Kind.TIMEOUT, "waited in vain");
        }
      } catch (InterruptedException e) {
        throw new InstrumentException(InstrumentException.Kind.OTHER, "interrupted", e);
      }
    };
  }

  /** Opens its relays as it is closed, as the station's own switcher does. */
  private final class Board extends BoardAtRest {
    Board(List<Route> routes) {
      super(routes, HeldLoadsTest.this::opened, HeldLoadsTest.this::selected);
    }

    @Override
    public void close() throws InstrumentException {
      openAll();
      done.add(drives() ? "drive board closed" : "load board closed");
    }
  }

  private void opened(boolean drives) throws InstrumentException {
    if (drives) {
      mute.now();
    }
    done.add(drives ? "drive muted" : "loads at rest");
  }

  private void selected(String route) {
    done.add(route);
    if (route.equals("mains off")) {
      mainsIsOff.countDown();
    }
  }

  private final class Audio implements AudioInterface {
    @Override
    public Identity identity() {
      return new Identity("Fake", "interface", "", "");
    }

    @Override
    public AudioPorts ports() {
      List<AudioPort> one = List.of(new AudioPort("left", 3));
      return new AudioPorts(48_000, one, one);
    }

    @Override
    public Capture exchange(Signal stimulus) {
      throw new AssertionError("nothing is played here");
    }

    @Override
    public void makeSafe() throws InstrumentException {
      silence.now();
      done.add("interface silent");
      isSilent.countDown();
    }

    @Override
    public void close() throws InstrumentException {
      end.now();
      done.add("interface closed");
    }
  }

  private Event.SafeState command(Duration safe) throws Exception {
    return SafeStarts.command(
        BENCH,
        (kind, settings, context) ->
            kind == InstrumentKind.SWITCHER ? new Board(context.routes()) : new Audio(),
        safe);
  }

  @Test
  void theInterfaceIsSilencedBesideABoardThatHangs() throws Exception {
    mute = after(isSilent);
    assertThat(command(Duration.ofSeconds(30)).confirmed()).isTrue();
    assertThat(done.subList(0, 2)).containsExactly("interface silent", "drive muted");
    assertThat(done.subList(2, 4)).containsExactly("mains off", "loads at rest");
  }

  @Test
  void mainsGoesAndTheLoadsStayUntilTheDriveIsOff() throws Exception {
    mute = after(mainsIsOff);
    silence = after(mainsIsOff);
    assertThat(command(Duration.ofSeconds(30)).confirmed()).isTrue();
    assertThat(done).startsWith("mains off");
    assertThat(done.subList(0, 4)).doesNotHaveDuplicates().noneMatch(d -> d.endsWith("closed"));
    assertThat(done.get(1)).isIn("drive muted", "interface silent");
    assertThat(done).contains("loads at rest");
  }

  @Test
  void aSilentInterfaceIsEnoughWhereTheBoardIsGivenUp() throws Exception {
    mute = after(isOver);
    try {
      Event.SafeState state = command(Duration.ofMillis(200));
      assertThat(state.confirmed()).isFalse();
      assertThat(state.detail()).contains("drive-relays did not make safe within 200 ms");
      assertThat(done.subList(0, 3))
          .containsExactly("interface silent", "mains off", "loads at rest");
    } finally {
      isOver.countDown();
    }
  }

  @Test
  void whereNeitherObeysMainsGoesButNoLoadMoves() throws Exception {
    mute = NOT;
    silence = NOT;
    end = NOT;
    Event.SafeState state = command(Duration.ofSeconds(30));
    assertThat(done).as("also when the bench is closed").containsExactly("mains off");
    assertThat(state.confirmed()).isFalse();
    assertThat(state.detail())
        .contains("gone", "the loads are left as they are", "their boards are left open");
  }

  @Test
  void anInterfaceThatIsClosedPlaysNothingSoThatTheLoadsAreLetGo() throws Exception {
    mute = NOT;
    silence = NOT;
    assertThat(command(Duration.ofSeconds(30)).confirmed()).isFalse();
    assertThat(done)
        .containsExactly("mains off", "interface closed", "loads at rest", "load board closed");
  }

  @Test
  void aDriveThatIsMutedAtClosingLetsTheLoadsGo() throws Exception {
    mute = new Once();
    silence = NOT;
    end = NOT;
    assertThat(command(Duration.ofSeconds(30)).confirmed()).isFalse();
    assertThat(done)
        .containsExactly(
            "mains off", "drive muted", "drive board closed", "loads at rest", "load board closed");
  }

  /** Fails the first time. */
  private static final class Once implements Obeys {
    private boolean failed;

    @Override
    public void now() throws InstrumentException {
      if (!failed) {
        failed = true;
        NOT.now();
      }
    }
  }

  @Test
  void theHeadStartCountsInTheTimeOfAnInterlock() {
    Bench bench = YamlReader.read("bench.yaml", BENCH).flatMap(BenchReader::read).value();
    Duration settle =
        bench.roles().get("drive-relays").routes().stream()
            .map(Route::settle)
            .max(Duration::compareTo)
            .orElseThrow();
    assertThat(SafeKeeper.beforeMains(bench.roles().values()))
        .isEqualTo(settle.multipliedBy(3).plusMillis(500));
    Bench one = YamlReader.read("bench.yaml", SmallFiles.BENCH).flatMap(BenchReader::read).value();
    assertThat(SafeKeeper.beforeMains(one.roles().values())).isZero();
  }
}
