package kitproof.run;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.Mains;
import kitproof.plan.OnFail;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.plan.TimeKind;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Benches and plans made by chance, good ones and bad ones: wiring with the limiter in series or
 * bridged, loads that share relays, groups without a rest, drives without a load of their own,
 * mains before the rise, loads and modes exchanged in the middle of steps, input ranges. Built past
 * the readers, whose rules would refuse some of them earlier.
 */
final class RandomBench {
  private static final List<String> SIDES = List.of("left", "right");
  private final Random random;
  private int relay;
  private int steps = 1;
  private boolean withRise;
  private boolean drivesApart;

  RandomBench(long seed) {
    this.random = new Random(seed);
  }

  /** The right channel's drive, where there is one, on a switcher of its own. */
  RandomBench drivesApart() {
    drivesApart = true;
    return this;
  }

  private boolean chance(double p) {
    return random.nextDouble() < p;
  }

  private static Node.Mapping nowhere() {
    return new Node.Mapping(new Location("made.yaml", 1, 1), List.of());
  }

  private Route route(
      String name, String group, Route.Purpose purpose, Conditions when, List<String> relays) {
    Quantity load = purpose == Route.Purpose.LOAD ? Quantity.of(8, Unit.OHM) : null;
    return new Route(name, group, relays, Duration.ofMillis(20), purpose, when, load);
  }

  private String next() {
    return "K" + ++relay;
  }

  Bench bench() {
    List<Route> mains = new ArrayList<>();
    String on = next();
    String other = next();
    boolean series = chance(0.15);
    mains.add(route("mains off", "mains", Route.Purpose.MAINS_OFF, Conditions.NONE, List.of()));
    mains.add(
        route(
            "mains limited",
            "mains",
            Route.Purpose.MAINS_LIMITED,
            Conditions.NONE,
            series ? List.of(on, other) : List.of(on)));
    mains.add(
        route(
            "mains direct",
            "mains",
            Route.Purpose.MAINS_DIRECT,
            Conditions.NONE,
            series ? List.of(on) : List.of(on, other)));
    List<Route> drive = new ArrayList<>();
    List<Route> loads = new ArrayList<>();
    List<Route> modes = new ArrayList<>();
    boolean drives = chance(0.9);
    if (drives) {
      drive.add(route("muted", "drive", Route.Purpose.MUTE, Conditions.NONE, List.of()));
    }
    List<String> loadRelays = new ArrayList<>();
    for (String side : SIDES) {
      if (drives && (side.equals("left") || chance(0.7))) {
        drive.add(
            route(
                "drive " + side,
                "drive",
                Route.Purpose.DRIVE,
                Conditions.of("channel", side),
                List.of(next())));
      }
      if (side.equals("left") || chance(0.85)) {
        loads(side, loads, loadRelays);
      }
    }
    modes.add(route("first mode", "mode", Route.Purpose.OTHER, mode("first"), List.of()));
    boolean shared = !loadRelays.isEmpty() && chance(0.15);
    String modeRelay = shared ? loadRelays.get(random.nextInt(loadRelays.size())) : next();
    modes.add(
        route("second mode", "mode", Route.Purpose.OTHER, mode("second"), List.of(modeRelay)));
    List<Route> ranges = ranges(loadRelays);
    shared |=
        ranges.stream().anyMatch(r -> loadRelays.containsAll(r.relays()) && !r.relays().isEmpty());
    Map<String, Bench.Role> roles = new LinkedHashMap<>();
    if (drivesApart) {
      driveApart(drive, roles);
    }
    if (chance(0.3) && !shared) {
      role(roles, "loads", loads);
      role(roles, "modes", modes);
      role(roles, "power", mains, drive, ranges);
    } else {
      role(roles, "relays", mains, drive, loads, modes, ranges);
    }
    return new Bench(
        "made",
        "shop",
        "bench",
        TimeKind.SIMULATED,
        Optional.empty(),
        Optional.empty(),
        Map.of(),
        roles,
        nowhere());
  }

  private void driveApart(List<Route> drive, Map<String, Bench.Role> roles) {
    List<Route> apart = new ArrayList<>();
    for (Route right : List.copyOf(drive)) {
      if (right.name().equals("drive right")) {
        drive.remove(right);
        apart.add(route("right muted", "right", Route.Purpose.MUTE, Conditions.NONE, List.of()));
        apart.add(route(right.name(), "right", right.purpose(), right.when(), right.relays()));
      }
    }
    if (!apart.isEmpty()) {
      role(roles, "right drive", apart);
    }
  }

  private static Conditions mode(String value) {
    return Conditions.of("mode", value);
  }

  private void loads(String side, List<Route> loads, List<String> loadRelays) {
    String group = side + " load";
    int taps = 1 + random.nextInt(3);
    for (int tap = 0; tap < taps; tap++) {
      List<String> relays = new ArrayList<>();
      if (tap > 0 || chance(0.06)) { // the first one rests without a relay
        relays.add(!loadRelays.isEmpty() && chance(0.08) ? loadRelays.get(0) : next());
        if (chance(0.35)) {
          relays.add(next());
        }
        loadRelays.addAll(relays);
      }
      Conditions when = Conditions.of("tap", "tap " + tap);
      loads.add(
          route(
              side + " tap " + tap,
              group,
              Route.Purpose.LOAD,
              chance(0.95) ? when.with("channel", side) : when,
              relays));
    }
    if (chance(0.3)) {
      String relay =
          !loadRelays.isEmpty() && chance(0.3)
              ? loadRelays.get(random.nextInt(loadRelays.size()))
              : next();
      loads.add(
          route(side + " second load", group, Route.Purpose.LOAD, Conditions.NONE, List.of(relay)));
    }
  }

  @SafeVarargs
  private static void role(Map<String, Bench.Role> roles, String name, List<Route>... parts) {
    List<Route> routes = new ArrayList<>();
    for (List<Route> part : parts) {
      routes.addAll(part);
    }
    roles.put(
        name, new Bench.Role(name, "made", InstrumentKind.SWITCHER, nowhere(), routes, nowhere()));
  }

  /** Mostly as a good plan is: rise first, then direct mains, then driven steps; not always. */
  Plan plan(Bench bench) {
    List<PlanStep> steps = new ArrayList<>();
    withRise = chance(0.93);
    if (withRise) {
      steps.add(step("rise", Outline.MainsUse.FIRST_POWER, false, Conditions.NONE, null, bench));
    }
    int count = 1 + random.nextInt(5);
    for (int i = 0; i < count; i++) {
      Mains mains = chance(0.3) ? Mains.values()[random.nextInt(3)] : null;
      Conditions conditions = Conditions.NONE;
      if (chance(0.95)) {
        conditions =
            conditions.with("channel", chance(0.2) ? "both" : SIDES.get(random.nextInt(2)));
      }
      if (chance(0.95)) {
        conditions = conditions.with("tap", "tap " + random.nextInt(chance(0.8) ? 2 : 3));
      }
      if (chance(0.5)) {
        conditions = conditions.with("mode", chance(0.5) ? "first" : "second");
      }
      steps.add(step("step " + i, Outline.MainsUse.NONE, chance(0.7), conditions, mains, bench));
    }
    List<PlanStep> shutDown =
        List.of(step("discharge", Outline.MainsUse.OFF, false, Conditions.NONE, null, bench));
    return new Plan(
        "made",
        "Linnet 12",
        "B",
        Optional.empty(),
        Path.of("l.yaml"),
        steps,
        shutDown,
        List.of(),
        nowhere());
  }

  /** A step that does not drive reads a meter, or compares results and touches nothing. */
  private List<Outline.Need> needs(boolean drives) {
    if (drives) {
      return List.of(new Outline.Need("audio", InstrumentKind.AUDIO_INTERFACE, ""));
    }
    return chance(0.5)
        ? List.of(new Outline.Need("hv-meter", InstrumentKind.METER, "hv"))
        : List.of();
  }

  /** Mostly nothing; otherwise one load or mode in the place of another, for a while. */
  private List<String> exchanges(Bench bench) {
    List<String> others =
        bench.routes().stream()
            .map(Route::name)
            .filter(n -> n.endsWith("second load") || n.endsWith("mode"))
            .toList();
    return chance(0.5) ? List.of(others.get(random.nextInt(others.size()))) : List.of();
  }

  /** Two or three input ranges, rarely with a relay of a load. */
  private List<Route> ranges(List<String> loadRelays) {
    List<Route> ranges = new ArrayList<>();
    int count = chance(0.4) ? 2 + random.nextInt(2) : 0;
    for (int i = 0; i < count; i++) {
      boolean shared = !loadRelays.isEmpty() && chance(0.06);
      String relay = shared ? loadRelays.get(random.nextInt(loadRelays.size())) : next();
      ranges.add(
          new Route(
              "range " + i,
              "input range",
              i == 0 ? List.of() : List.of(relay),
              Duration.ofMillis(20),
              Route.Purpose.RANGE,
              Conditions.NONE,
              null,
              Quantity.of(20.0 / (i + 1), Unit.VOLT)));
    }
    return ranges;
  }

  private PlanStep step(
      String name,
      Outline.MainsUse mainsUse,
      boolean drives,
      Conditions conditions,
      Mains mains,
      Bench bench) {
    List<String> byName =
        bench.routes().stream().filter(r -> r.when().isEmpty()).map(Route::name).toList();
    List<String> select = new ArrayList<>();
    if (chance(0.15)) {
      byName.stream().filter(n -> n.endsWith("second load")).findFirst().ifPresent(select::add);
    }
    boolean goOn = chance(0.04);
    return new PlanStep(
        new Location("plan.yaml", steps++, 1),
        name,
        MadeProcedure.INSTANCE,
        new MadeProcedure.Settings(
            mainsUse,
            drives,
            name.equals("rise") || (name.equals("step 0") && !withRise),
            needs(drives),
            drives ? exchanges(bench) : List.of()),
        conditions,
        mains,
        select,
        Duration.ZERO,
        goOn || mainsUse == Outline.MainsUse.NONE ? OnFail.GO_ON : OnFail.STOP);
  }
}
