package kitproof.calibration;

import java.util.List;
import java.util.Optional;
import kitproof.document.Located;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** What a calibration knows of the full scales of outputs and inputs. */
final class FullScales {
  private final CalibrationDocument document;

  FullScales(CalibrationDocument document) {
    this.document = document;
  }

  /** See {@link Calibration#output}. */
  Optional<Known> output(String role, String channel) {
    return level(document.outputs(), role, channel, null);
  }

  /** See {@link Calibration#input}. */
  Optional<Known> input(String role, String channel, @Nullable String range) {
    return level(document.inputs(), role, channel, range)
        .or(() -> range == null ? Optional.empty() : byRatio(role, channel, range));
  }

  private Optional<Known> byRatio(String role, String channel, String range) {
    return attenuation(role, channel, range)
        .flatMap(
            ratio ->
                document.inputs().stream()
                    .map(Located::value)
                    .filter(input -> input.role().equals(role) && input.channel().equals(channel))
                    .filter(input -> attenuation(role, channel, input.range()).isEmpty())
                    .map(rest -> Known.of(rest.fullScale(), rest.u(), rest.dof()).times(ratio))
                    .findFirst());
  }

  private static Optional<Known> level(
      List<Located<CalibrationDocument.Level>> levels,
      String role,
      String channel,
      @Nullable String range) {
    String place = CalibrationDocument.place(role, channel, range);
    return levels.stream()
        .map(Located::value)
        .filter(level -> level.place().equals(place))
        .findFirst()
        .map(level -> Known.of(level.fullScale(), level.u(), level.dof()));
  }

  /** See {@link Calibration#attenuation}. */
  Optional<Known> attenuation(String role, String channel, @Nullable String range) {
    String place = CalibrationDocument.place(role, channel, range);
    return document.attenuators().stream()
        .map(Located::value)
        .filter(a -> CalibrationDocument.place(a.role(), a.channel(), a.range()).equals(place))
        .findFirst()
        .map(
            a -> Known.of(Quantity.of(a.ratio(), Unit.ONE), Quantity.of(a.u(), Unit.ONE), a.dof()));
  }
}
