package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import org.junit.jupiter.api.Test;

/** What is said of pairs of phases, against every order in which relays of all boards may move. */
class WaysToRestTest {
  private static final int CASES = 4000;

  @Test
  void whatPairsOfPhasesSayIsWhatEveryOrderOfAllBoardsSays() {
    int harmless = 0;
    int harmful = 0;
    int onlyInBetween = 0;
    int orders = 0;
    for (long seed = 1; seed <= CASES; seed++) {
      Random random = new Random(seed);
      Bench bench = new SeveralBoards(random).bench(1 + random.nextInt(4));
      EveryOrder every = new EveryOrder(bench);
      Wires.Relays from = arrangement(bench, random);
      boolean risen = random.nextBoolean();
      Wires.Relays lowest = from;
      Wires.Relays highest = from;
      if (random.nextBoolean()) { // broken off in the middle of a command to one of the boards
        Bench.Role role = any(bench, random);
        Route route = role.routes().get(random.nextInt(role.routes().size()));
        lowest = from.with(role.name(), minus(from.of(role.name()), route));
        highest = from.with(role.name(), plus(from.of(role.name()), route));
      }
      String said = new WaysToRest(new Wires(bench)).hazard(lowest, highest, risen);
      EveryOrder.Found found = every.from(from, lowest, highest, risen);
      assertThat(!said.isEmpty())
          .as("seed %d: %s, seen: %s", seed, said, found)
          .isEqualTo(found.harmful());
      harmful += found.harmful() ? 1 : 0;
      harmless += found.harmful() ? 0 : 1;
      onlyInBetween += found.harmful() && !found.atOnce() ? 1 : 0;
      orders += found.arrangements();
    }
    System.out.printf(
        "%d benches: %d harmless, %d harmful, %d of these only on the way; %d arrangements seen%n",
        CASES, harmless, harmful, onlyInBetween, orders);
    assertThat(harmless).isGreaterThan(CASES / 5);
    assertThat(harmful).isGreaterThan(CASES / 5);
    assertThat(onlyInBetween).as("seen only on the way").isGreaterThan(CASES / 20);
  }

  /** Some of the routes selected, as steps leave them. */
  private static Wires.Relays arrangement(Bench bench, Random random) {
    Wires.Relays from = Wires.Relays.NONE;
    for (Bench.Role role : bench.roles().values()) {
      Set<String> on = new TreeSet<>();
      Set<String> groups = new TreeSet<>();
      for (Route route : role.routes()) {
        if (random.nextInt(3) > 0 && groups.add(route.group())) {
          on.addAll(route.relays());
        }
      }
      from = from.with(role.name(), on);
    }
    return from;
  }

  private static Bench.Role any(Bench bench, Random random) {
    return bench.roles().values().stream()
        .skip(random.nextInt(bench.roles().size()))
        .findFirst()
        .orElseThrow();
  }

  private static Set<String> plus(Set<String> some, Route route) {
    Set<String> all = new TreeSet<>(some);
    all.addAll(route.relays());
    return all;
  }

  private static Set<String> minus(Set<String> some, Route route) {
    Set<String> left = new TreeSet<>(some);
    left.removeAll(route.relays());
    return left;
  }
}
