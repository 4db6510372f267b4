package kitproof.calibration;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.document.Located;
import org.jspecify.annotations.Nullable;

/** What a calibration file speaks of. */
final class Contents {
  private final CalibrationDocument document;

  Contents(CalibrationDocument document) {
    this.document = document;
  }

  /** Roles that the file speaks of, each with its first place. */
  List<Located<String>> roles() {
    Map<String, Located<String>> roles = new LinkedHashMap<>();
    document.instruments().forEach((role, i) -> roles.put(role, new Located<>(i.location(), role)));
    add(roles, document.outputs(), CalibrationDocument.Level::role);
    add(roles, document.inputs(), CalibrationDocument.Level::role);
    add(roles, document.attenuators(), CalibrationDocument.Attenuator::role);
    add(roles, document.paths(), CalibrationDocument.Path::role);
    add(roles, document.residuals(), CalibrationDocument.Residual::role);
    add(roles, document.leakages(), CalibrationDocument.Leakage::role);
    add(roles, document.delays(), CalibrationDocument.Delay::role);
    return List.copyOf(roles.values());
  }

  /** Routes that the file speaks of, each with its first place. */
  List<Located<String>> routes() {
    Map<String, Located<String>> routes = new LinkedHashMap<>();
    add(routes, document.resistors(), CalibrationDocument.Resistor::route);
    add(routes, document.inputs(), CalibrationDocument.Level::range);
    add(routes, document.attenuators(), CalibrationDocument.Attenuator::range);
    add(routes, document.paths(), CalibrationDocument.Path::range);
    add(routes, document.residuals(), CalibrationDocument.Residual::range);
    return List.copyOf(routes.values());
  }

  /** What is corrected by it, for people: an entry a line. */
  List<String> corrections() {
    List<String> lines = new ArrayList<>();
    for (Located<CalibrationDocument.Level> level : document.outputs()) {
      lines.add("output " + level.value().place() + " " + level.value().fullScale().display(6));
    }
    for (Located<CalibrationDocument.Level> level : document.inputs()) {
      lines.add("input " + level.value().place() + " " + level.value().fullScale().display(6));
    }
    for (Located<CalibrationDocument.Path> path : document.paths()) {
      CalibrationDocument.Path of = path.value();
      List<CalibrationDocument.Point> points = of.points().value();
      lines.add(
          "path "
              + CalibrationDocument.place(of.role(), of.channel(), of.range())
              + " "
              + points.get(0).at().display()
              + " to "
              + points.get(points.size() - 1).at().display());
    }
    for (Located<CalibrationDocument.Resistor> resistor : document.resistors()) {
      lines.add(resistor.value().route() + " " + resistor.value().resistance().display(5));
    }
    lines.addAll(meterCorrections());
    return lines;
  }

  /** What is taken out of the readings of meters, for people: a function a line. */
  List<String> meterCorrections() {
    return meterCorrections((role, identity) -> true);
  }

  /**
   * The same, of the instruments that stand on the bench: another one, or none, is not corrected.
   *
   * @param opened role to identity, as the instruments say
   */
  List<String> meterCorrections(Map<String, String> opened) {
    return meterCorrections(
        (role, identity) ->
            opened.containsKey(role) && (identity == null || identity.equals(opened.get(role))));
  }

  private interface Choice {
    boolean counts(String role, @Nullable String identity);
  }

  private List<String> meterCorrections(Choice of) {
    List<String> lines = new ArrayList<>();
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              if (!of.counts(role, instrument.value().identity())) {
                return;
              }
              for (Located<CalibrationDocument.Correction> each :
                  instrument.value().corrections()) {
                MeterCorrection correction = CalibratedMeters.correction(each.value());
                lines.add(role + " " + each.value().function() + " " + correction);
              }
            });
    return lines;
  }

  private interface Naming<T> {
    @Nullable String of(T entry);
  }

  private static <T> void add(
      Map<String, Located<String>> names, List<Located<T>> entries, Naming<T> naming) {
    for (Located<T> entry : entries) {
      String name = naming.of(entry.value());
      if (name != null) {
        names.putIfAbsent(name, new Located<>(entry.location(), name));
      }
    }
  }
}
