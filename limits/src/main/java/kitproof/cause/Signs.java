package kitproof.cause;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.cause.CauseDocument.Row;
import kitproof.cause.CauseDocument.Sign;
import kitproof.limit.Judgement;
import kitproof.limit.Side;
import kitproof.value.Figure;
import kitproof.value.Quantity;

/** Looks for the signs of a cause among results. Pure. */
final class Signs {
  private static final int MOST_TOLD = 4;

  private Signs() {}

  /** The suggestions of one row: none, one, or one for each value of its condition. */
  static Stream<Suggestion> of(Row row, List<Found> results) {
    String each = row.each();
    if (each == null) {
      return suggestion(row, "", results).stream();
    }
    Set<String> values =
        results.stream()
            .map(found -> found.measurement().conditions().values().get(each))
            .filter(Objects::nonNull)
            .collect(Collectors.toCollection(LinkedHashSet::new));
    return values.stream()
        .flatMap(
            value ->
                suggestion(
                    row,
                    each + " " + value,
                    results.stream()
                        .filter(
                            found ->
                                value.equals(found.measurement().conditions().values().get(each)))
                        .toList())
                    .stream());
  }

  private static Optional<Suggestion> suggestion(Row row, String where, List<Found> results) {
    List<Found> because = new ArrayList<>();
    for (Sign sign : row.signs()) {
      List<Found> shown = shown(sign, results);
      if (shown.isEmpty()) {
        return Optional.empty();
      }
      because.addAll(shown);
    }
    List<Sign> others = row.butNot() == null ? List.of() : row.butNot();
    if (others.stream().anyMatch(sign -> !shown(sign, results).isEmpty())) {
      return Optional.empty();
    }
    return Optional.of(
        new Suggestion(
            row.cause(),
            row.look() == null ? "" : row.look(),
            where,
            because.stream()
                .map(found -> found.measurement().title())
                .distinct()
                .limit(MOST_TOLD)
                .toList()));
  }

  /** The results that show a sign; none if not as many do as have to. */
  private static List<Found> shown(Sign sign, List<Found> results) {
    List<Found> asked =
        results.stream()
            .filter(found -> found.measurement().name().equals(sign.result()))
            .filter(found -> found.measurement().conditions().satisfy(sign.conditions()))
            .toList();
    List<Found> shown = asked.stream().filter(found -> holds(sign, found)).toList();
    return sign.at() == Extent.EVERY && shown.size() < asked.size() ? List.of() : shown;
  }

  private static boolean holds(Sign sign, Found found) {
    if (sign.above() != null || sign.below() != null) {
      return found.measurement().figure() instanceof Figure.OfQuantity one
          && (sign.above() == null || isAbove(one.quantity(), sign.above().value()))
          && (sign.below() == null || isAbove(sign.below().value(), one.quantity()));
    }
    Judgement judgement = found.judgement();
    return switch (sign.finding()) {
      case FAILED -> judgement.outcome().fails();
      case PASSED -> judgement.outcome() == Judgement.Outcome.PASS;
      case TOO_HIGH -> beyond(found, Side.HIGH);
      case TOO_LOW -> beyond(found, Side.LOW);
    };
  }

  private static boolean beyond(Found found, Side side) {
    return found.judgement().outcome().fails()
        && Side.beyond(found.measurement(), found.judgement().limit()).contains(side);
  }

  private static boolean isAbove(Quantity one, Quantity other) {
    return one.unit() == other.unit() && one.compareTo(other) > 0;
  }
}
