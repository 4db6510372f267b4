package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalInt;
import org.jgrapht.alg.interfaces.MatchingAlgorithm.Matching;
import org.jgrapht.alg.matching.blossom.v5.KolmogorovWeightedPerfectMatching;
import org.jgrapht.graph.DefaultWeightedEdge;
import org.jgrapht.graph.SimpleWeightedGraph;

/**
 * The pairs of units whose distances together are smallest.
 *
 * <p>Exact: a minimum-weight perfect matching (Edmonds 1965). Of an odd number one is left, the one
 * whose absence makes the rest smallest.
 *
 * @param pairs by rising distance
 * @param left the index of the one without a partner, if any
 */
public record Pairs(List<Pair> pairs, OptionalInt left) {
  public Pairs {
    pairs = List.copyOf(pairs);
  }

  /**
   * Two that belong together.
   *
   * @param first the smaller index
   * @param second the larger index
   * @param distance between them
   */
  public record Pair(int first, int second, double distance) {}

  /** All distances of pairs together. */
  public double total() {
    return pairs.stream().mapToDouble(Pair::distance).sum();
  }

  /**
   * The best pairs.
   *
   * @param distances of each from each, a square; only what is above the diagonal is read
   * @throws IllegalArgumentException if it is not square, there are fewer than 2, or a distance is
   *     negative or not finite
   */
  public static Pairs best(List<List<Double>> distances) {
    int n = distances.size();
    if (n < 2) {
      throw new IllegalArgumentException(n + " units, where 2 or more are needed");
    }
    SimpleWeightedGraph<Integer, DefaultWeightedEdge> graph =
        new SimpleWeightedGraph<>(DefaultWeightedEdge.class);
    // To be left costs the same for all: an odd one is paired with nobody, at no distance.
    int all = n + n % 2;
    for (int i = 0; i < all; i++) {
      graph.addVertex(i);
    }
    for (int i = 0; i < all; i++) {
      for (int j = i + 1; j < all; j++) {
        graph.setEdgeWeight(graph.addEdge(i, j), j < n ? distance(distances, i, j) : 0);
      }
    }
    Matching<Integer, DefaultWeightedEdge> matching =
        new KolmogorovWeightedPerfectMatching<>(graph).getMatching();
    List<Pair> pairs = new ArrayList<>();
    OptionalInt left = OptionalInt.empty();
    for (DefaultWeightedEdge edge : matching.getEdges()) {
      int first = Math.min(graph.getEdgeSource(edge), graph.getEdgeTarget(edge));
      int second = Math.max(graph.getEdgeSource(edge), graph.getEdgeTarget(edge));
      if (second == n) {
        left = OptionalInt.of(first);
      } else {
        pairs.add(new Pair(first, second, distance(distances, first, second)));
      }
    }
    pairs.sort(Comparator.comparingDouble(Pair::distance).thenComparingInt(Pair::first));
    return new Pairs(pairs, left);
  }

  private static double distance(List<List<Double>> distances, int i, int j) {
    if (distances.get(i).size() != distances.size()) {
      throw new IllegalArgumentException("the distances are not a square");
    }
    double distance = distances.get(i).get(j);
    if (!(distance >= 0) || !Double.isFinite(distance)) {
      throw new IllegalArgumentException(
          "a distance of " + distance + " between " + i + " and " + j);
    }
    return distance;
  }
}
