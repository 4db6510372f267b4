package kitproof.run;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.function.Supplier;
import kitproof.driver.BenchClock;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverProvider;
import kitproof.driver.Handling;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.driver.Switcher;
import kitproof.plan.Bench;
import org.jspecify.annotations.Nullable;

/** The instruments of a bench, open, by role; closed in reverse, each whatever the others did. */
final class OpenBench implements AutoCloseable {
  private static final String LEFT_OPEN =
      "left open to the end of the program, with its loads where they are, as what drives could not"
          + " be closed either";

  /** Guarded: who stops a run asks from a thread of its own. */
  private final Map<String, OpenInstrument> instruments =
      Collections.synchronizedMap(new LinkedHashMap<>());

  private final InterlockGuard guard;
  private final Latest latest;

  private final List<String> inFile;

  private OpenBench(InterlockGuard guard, Latest latest, List<String> inFile) {
    this.guard = guard;
    this.latest = latest;
    this.inFile = inFile;
  }

  /** Who watches these instruments, in the bench's time. */
  InterlockGuard guard() {
    return guard;
  }

  /** Where those who watch look. */
  Latest latest() {
    return latest;
  }

  /**
   * Opens every role: switchers first, of these the ones that carry drive, as opening one puts its
   * relays to rest; else in the order of the file.
   *
   * <p>If one fails, the boards that can take the mains away are opened all the same, and what is
   * open is put to rest and closed. So no meter that is missing leaves the mains on that a program
   * before has left on.
   *
   * @param notices what the drivers have to tell that is no failure; from any thread
   * @throws InstrumentException what failed first, with what else failed as suppressed ones
   */
  static OpenBench open(
      Bench bench,
      Map<String, DriverProvider> drivers,
      String unit,
      Handling handling,
      Deadlines deadlines,
      Runnable beat,
      Halt halt,
      InterlockGuard guard,
      Latest latest,
      Consumer<String> notices)
      throws InstrumentException, InterruptedException {
    OpenBench open = new OpenBench(guard, latest, List.copyOf(bench.roles().keySet()));
    Map<String, Object> shared = new HashMap<>();
    @Nullable InstrumentException first = null;
    try {
      for (Bench.Role role : switchersFirst(bench)) {
        if (first != null && !SafeKeeper.carries(role, Route.Purpose.MAINS_OFF)) {
          continue;
        }
        InstrumentThread thread = new InstrumentThread(role.name());
        Context context = new Context(guard.clock(), unit, handling, role, thread, shared, notices);
        try {
          open.instruments.put(
              role.name(), open(role, drivers, context, deadlines, beat, halt, guard, latest));
        } catch (InstrumentException e) {
          first = first == null ? e : with(first, e);
        }
      }
      if (first != null) {
        throw first;
      }
      return open;
    } catch (InstrumentException | InterruptedException | RuntimeException e) {
      if (first != null && first != e) {
        e.addSuppressed(first);
      }
      for (String trouble : open.restAndClose()) {
        e.addSuppressed(new InstrumentException(InstrumentException.Kind.OTHER, trouble));
      }
      throw e;
    }
  }

  private static InstrumentException with(InstrumentException first, InstrumentException next) {
    first.addSuppressed(next);
    return first;
  }

  /** In the order they are opened in. */
  private static List<Bench.Role> switchersFirst(Bench bench) {
    List<Bench.Role> roles = new ArrayList<>(bench.roles().values());
    roles.sort(Comparator.comparing(OpenBench::turn)); // stable
    return roles;
  }

  private static int turn(Bench.Role role) {
    if (role.kind() != InstrumentKind.SWITCHER) {
      return 2;
    }
    return SafeKeeper.carries(role, Route.Purpose.DRIVE) ? 0 : 1;
  }

  private static OpenInstrument open(
      Bench.Role role,
      Map<String, DriverProvider> drivers,
      Context context,
      Deadlines deadlines,
      Runnable beat,
      Halt halt,
      InterlockGuard guard,
      Latest latest)
      throws InstrumentException, InterruptedException {
    DriverProvider driver = drivers.get(role.driver());
    if (driver == null) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "there is no driver \"" + role.driver() + "\"");
    }
    InstrumentThread thread = context.thread();
    Opening opening = new Opening(role);
    try {
      OpenInstrument.Declared declared =
          thread.call(
              "open",
              deadlines.open(),
              beat,
              () ->
                  opening.arrived(
                      driver.open(role.kind(), new Settings(role.settings()), context)));
      return new OpenInstrument(role, declared, thread, deadlines, beat, halt, guard, latest);
    } catch (InstrumentException | InterruptedException | RuntimeException e) {
      thread.close();
      Instrument late = opening.abandon();
      if (late != null) {
        closeLate(role.name(), late, deadlines, beat, e);
      }
      throw e;
    }
  }

  private static void closeLate(
      String role, Instrument late, Deadlines deadlines, Runnable beat, Exception cause) {
    try (InstrumentThread closing = new InstrumentThread(role)) {
      closing.callToTheEnd("close", deadlines.safe(), beat, Opening.closing(late));
    } catch (InstrumentException e) {
      cause.addSuppressed(e);
    }
  }

  /** Role to identity, as the instruments say. */
  Map<String, String> identities() {
    Map<String, String> identities = new LinkedHashMap<>();
    for (OpenInstrument instrument : everything()) {
      identities.put(instrument.role().name(), instrument.identity().toString());
    }
    return identities;
  }

  /** What the instrument in this role says it is; empty if there is none. */
  String identity(String role) {
    OpenInstrument instrument = instruments.get(role);
    return instrument == null ? "" : instrument.identity().toString();
  }

  /** The instrument in this role, which must be of this kind. */
  OpenInstrument in(String role, InstrumentKind kind) throws InstrumentException {
    OpenInstrument instrument = instruments.get(role);
    if (instrument == null || instrument.role().kind() != kind) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, "the bench has no " + kind + " in role " + role);
    }
    return instrument;
  }

  /** Every instrument of this kind, in the order of the file. */
  List<OpenInstrument> all(InstrumentKind kind) {
    return everything().stream().filter(i -> i.role().kind() == kind).toList();
  }

  /** Every switcher, by role. */
  Map<String, Switcher> switchers() {
    Map<String, Switcher> switchers = new LinkedHashMap<>();
    all(InstrumentKind.SWITCHER).forEach(i -> switchers.put(i.role().name(), i.switcher()));
    return switchers;
  }

  /** In the order of the file. */
  private List<OpenInstrument> everything() {
    List<OpenInstrument> all = asOpened();
    all.sort(Comparator.comparingInt(one -> inFile.indexOf(one.role().name())));
    return all;
  }

  private List<OpenInstrument> asOpened() {
    synchronized (instruments) {
      return new ArrayList<>(instruments.values());
    }
  }

  /** Commands the switchers before anything that is closed could hold them up; the same result. */
  private List<String> restAndClose() {
    List<String> troubles = new ArrayList<>();
    for (OpenInstrument instrument : asOpened()) {
      if (instrument.role().kind() == InstrumentKind.SWITCHER) {
        try {
          instrument.makeSafe();
        } catch (InstrumentException e) {
          troubles.add(String.valueOf(e.getMessage()));
        }
      }
    }
    troubles.addAll(closeAll());
    return troubles;
  }

  /**
   * Closes everything, last opened first; boards that hold loads last of all, and only if the drive
   * is known to be off by then: an interface that is closed plays nothing, and a board that is
   * closed has been put to rest. Returns what went wrong, a line each.
   */
  List<String> closeAll() {
    List<OpenInstrument> reversed = asOpened();
    Collections.reverse(reversed);
    instruments.clear();
    List<String> troubles = new ArrayList<>();
    List<OpenInstrument> left = new ArrayList<>();
    for (OpenInstrument instrument : reversed) {
      if (instrument.isHeld() || !close(instrument, troubles)) {
        left.add(instrument);
      }
    }
    boolean isOff = SafeKeeper.isOffWithout(left, reversed);
    for (OpenInstrument instrument : left) {
      if (instrument.isHeld() && isOff) {
        var unused = close(instrument, troubles);
      } else if (instrument.isHeld()) {
        instrument.leave();
        troubles.add("closing " + instrument.role().name() + ": " + LEFT_OPEN);
      }
    }
    return troubles;
  }

  private static boolean close(OpenInstrument instrument, List<String> troubles) {
    try {
      instrument.close();
      return true;
    } catch (InstrumentException e) {
      troubles.add("closing " + instrument.role().name() + ": " + e.getMessage());
      return false;
    }
  }

  @Override
  public void close() {
    closeAll();
  }

  private record Context(
      BenchClock clock,
      String unit,
      Handling handling,
      Bench.Role role,
      InstrumentThread thread,
      Map<String, Object> objects,
      Consumer<String> notices)
      implements BenchContext {
    @Override
    public List<Route> routes() {
      return role.routes();
    }

    @Override
    public void notice(String text) {
      notices.accept(role.name() + ": " + text);
    }

    @Override
    public boolean isSafeStateWaiting() {
      return thread.isSafeStateWaiting();
    }

    @Override
    public <T> T shared(String name, Class<T> type, Supplier<T> make) {
      synchronized (objects) {
        return type.cast(objects.computeIfAbsent(name, key -> make.get()));
      }
    }
  }
}
