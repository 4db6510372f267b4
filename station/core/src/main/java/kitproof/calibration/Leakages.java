package kitproof.calibration;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import kitproof.document.Located;
import kitproof.value.Quantity;

/** What a calibration knows of leakage between channels. */
final class Leakages {
  private final CalibrationDocument document;

  Leakages(CalibrationDocument document) {
    this.document = document;
  }

  /** See {@link Calibration#leakage}. */
  Optional<Known> of(String role, String from, String to, double hertz) {
    List<CalibrationDocument.Leakage> all =
        document.leakages().stream()
            .map(Located::value)
            .filter(l -> l.role().equals(role) && l.from().equals(from) && l.to().equals(to))
            .sorted(Comparator.comparing(l -> l.at().value()))
            .toList();
    if (all.isEmpty()) {
      return Optional.empty();
    }
    CalibrationDocument.Leakage below = all.get(0);
    CalibrationDocument.Leakage above = all.get(all.size() - 1);
    for (CalibrationDocument.Leakage each : all) {
      below = each.at().value() <= hertz ? each : below;
    }
    for (int i = all.size() - 1; i >= 0; i--) {
      above = all.get(i).at().value() >= hertz ? all.get(i) : above;
    }
    CalibrationDocument.Leakage more =
        below.level().value() > above.level().value() ? below : above;
    Quantity u = more.u();
    return Optional.of(
        Known.of(more.level(), u == null ? Quantity.of(0, more.level().unit()) : u, more.dof()));
  }
}
