package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** Every trial once, in an order that nobody could guess and everybody can repeat. */
class TrialOrderTest {
  private static final List<String> UNITS = List.of("1", "2", "3", "4", "5");
  private static final List<String> PEOPLE = List.of("Ann", "Ben", "Cleo");

  @Test
  void everyAppraiserMeasuresEveryUnitBeforeAnyIsMeasuredAgain() {
    List<TrialOrder.Trial> order = TrialOrder.ofAppraisers(PEOPLE, UNITS, 3, 11);
    assertThat(order).hasSize(45).doesNotHaveDuplicates();
    for (int round = 0; round < 3; round++) {
      List<TrialOrder.Trial> part = order.subList(15 * round, 15 * (round + 1));
      assertThat(part).extracting(TrialOrder.Trial::repeat).containsOnly(round + 1);
      assertThat(part.stream().map(t -> t.appraiser() + t.unit()).distinct()).hasSize(15);
      for (int turn = 0; turn < 3; turn++) {
        assertThat(part.subList(5 * turn, 5 * turn + 5))
            .extracting(TrialOrder.Trial::appraiser)
            .as("nobody waits for the bench between two units")
            .containsOnly(part.get(5 * turn).appraiser());
      }
    }
  }

  @Test
  void aReloadedUnitIsMeasuredAsOftenAsWantedBeforeTheNext() {
    List<TrialOrder.Trial> order = TrialOrder.ofReloads(List.of("1", "2"), UNITS, 2, 4);
    assertThat(order).hasSize(20).doesNotHaveDuplicates();
    for (int i = 0; i < 20; i += 2) {
      assertThat(order.get(i + 1).unit()).isEqualTo(order.get(i).unit());
      assertThat(order.get(i + 1).repeat()).isEqualTo(2);
    }
    assertThat(order.subList(0, 10)).extracting(TrialOrder.Trial::appraiser).containsOnly("1");
  }

  @Test
  void theOrderIsTheSeedsAndNobodyElses() {
    assertThat(TrialOrder.ofAppraisers(PEOPLE, UNITS, 2, 5))
        .isEqualTo(TrialOrder.ofAppraisers(PEOPLE, UNITS, 2, 5));
    Set<String> firsts = new HashSet<>();
    Set<List<TrialOrder.Trial>> orders = new HashSet<>();
    for (long seed = 0; seed < 100; seed++) {
      List<TrialOrder.Trial> order = TrialOrder.ofAppraisers(PEOPLE, UNITS, 2, seed);
      firsts.add(order.get(0).appraiser() + order.get(0).unit());
      orders.add(order);
    }
    assertThat(orders).hasSize(100);
    assertThat(firsts).as("any of the 15 can be the first").hasSize(15);
  }

  @Test
  void labelsTellNothingOfTheOrderOfUnits() {
    List<String> labels = TrialOrder.labels(30, 3);
    assertThat(labels).hasSize(30).doesNotHaveDuplicates().contains("A", "Z", "A1", "D1");
    assertThat(
            IntStream.range(0, 50)
                .mapToObj(seed -> TrialOrder.labels(5, seed).get(0))
                .collect(Collectors.toSet()))
        .hasSize(5);
  }
}
