package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;
import org.junit.jupiter.api.Test;

/**
 * Against another program's matchings (networkx and exhaustive search) and our own exhaustive one.
 */
class PairsTest {
  private static List<List<Double>> matrix(JsonNode rows) {
    List<List<Double>> matrix = new ArrayList<>();
    for (JsonNode row : rows) {
      List<Double> values = new ArrayList<>();
      row.forEach(value -> values.add(value.doubleValue()));
      matrix.add(values);
    }
    return matrix;
  }

  @Test
  void theOptimaOfAnotherProgram() throws IOException {
    JsonNode file =
        new ObjectMapper().readTree(PairsTest.class.getResourceAsStream("pair_matching.json"));
    int cases = 0;
    for (JsonNode one : file.get("cases")) {
      String name = one.get("name").textValue();
      Pairs found = Pairs.best(matrix(one.get("distance_matrix")));
      assertThat(found.total())
          .as(name)
          .isCloseTo(one.get("optimal_total").doubleValue(), within(1e-9));
      assertThat(found.left()).isEmpty();
      if (!name.contains("not unique")) {
        List<List<Integer>> expected = new ArrayList<>();
        one.get("optimal_pairs")
            .forEach(pair -> expected.add(List.of(pair.get(0).intValue(), pair.get(1).intValue())));
        assertThat(found.pairs())
            .as(name)
            .extracting(pair -> List.of(pair.first(), pair.second()))
            .containsExactlyInAnyOrderElementsOf(expected);
      }
      cases++;
    }
    assertThat(cases).isEqualTo(5);
  }

  @RepeatedTest(30)
  void nothingIsBetterWithAnOddOneLeftOut(RepetitionInfo info) {
    int seed = info.getCurrentRepetition();
    Random random = new Random(seed);
    int n = 2 + seed % 8;
    List<List<Double>> distances = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      distances.add(new ArrayList<>(Collections.nCopies(n, 0.0)));
      for (int j = 0; j < i; j++) {
        double distance = random.nextInt(40) / 4.0;
        distances.get(i).set(j, distance);
        distances.get(j).set(i, distance);
      }
    }
    Pairs found = Pairs.best(distances);
    assertThat(found.pairs()).as("seed %d", seed).hasSize(n / 2);
    assertThat(found.left().isPresent()).isEqualTo(n % 2 == 1);
    assertThat(found.total())
        .as("seed %d", seed)
        .isCloseTo(least(distances, new boolean[n], n % 2), within(1e-9));
  }

  /** Every way to pair what is free, with at most {@code spare} left. */
  private static double least(List<List<Double>> distances, boolean[] taken, int spare) {
    int first = 0;
    while (first < taken.length && taken[first]) {
      first++;
    }
    if (first == taken.length) {
      return 0;
    }
    taken[first] = true;
    double best = spare > 0 ? least(distances, taken, spare - 1) : Double.POSITIVE_INFINITY;
    for (int j = first + 1; j < taken.length; j++) {
      if (!taken[j]) {
        taken[j] = true;
        best = Math.min(best, distances.get(first).get(j) + least(distances, taken, spare));
        taken[j] = false;
      }
    }
    taken[first] = false;
    return best;
  }

  @Test
  void refusesWhatCannotBePaired() {
    assertThatThrownBy(() -> Pairs.best(List.of(List.of(0.0)))).hasMessageContaining("1 units");
    assertThatThrownBy(() -> Pairs.best(List.of(List.of(0.0, Double.NaN), List.of(0.0, 0.0))))
        .hasMessageContaining("NaN");
    assertThatThrownBy(() -> Pairs.best(List.of(List.of(0.0), List.of(0.0))))
        .hasMessageContaining("square");
  }
}
