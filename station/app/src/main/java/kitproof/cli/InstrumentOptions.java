package kitproof.cli;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.List;
import kitproof.calibration.Entered;
import kitproof.value.Location;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** What the papers of the instruments say, to be entered in the calibration file. */
final class InstrumentOptions {
  /** Where messages say it stands. */
  static final Location PLACE = Location.of("--certificate, --accuracy");

  private static final String RESOLUTION = "resolution ";
  private static final String RANGE = "range ";

  @Option(
      names = "--certificate",
      paramLabel = "ROLE: …",
      description =
          "An instrument's own certificate, to be entered in the file: its role, then number, date,"
              + " due date and laboratory, with commas; repeatable.")
  private List<String> certificates = List.of();

  @Option(
      names = "--accuracy",
      paramLabel = "ROLE: …",
      description =
          "Limits of error of a meter, to be entered in the file: its role, then function, limits,"
              + " and where they need it the resolution and the range, with commas; repeatable.")
  private List<String> accuracies = List.of();

  /**
   * What was said.
   *
   * @throws ParameterException if it cannot be understood
   */
  Entered entered(CommandLine command) {
    return new Entered(
        certificates.stream().map(text -> certificate(text, command)).toList(),
        accuracies.stream().map(text -> accuracy(text, command)).toList());
  }

  /** "ROLE: NUMBER, DATE, DUE, LABORATORY". */
  private static Entered.Certificate certificate(String text, CommandLine command) {
    String[] role = text.split(":", 2);
    String[] parts = role.length < 2 ? new String[0] : role[1].split(",", 4);
    try {
      if (parts.length == 4) {
        return new Entered.Certificate(
            role[0].strip(),
            parts[0].strip(),
            LocalDate.parse(parts[1].strip()),
            LocalDate.parse(parts[2].strip()),
            parts[3].strip());
      }
    } catch (DateTimeParseException e) {
      throw new ParameterException(command, wrongCertificate(text), e);
    }
    throw new ParameterException(command, wrongCertificate(text));
  }

  private static String wrongCertificate(String text) {
    return "--certificate: found \""
        + text
        + "\"; expected role, number, date, due date and laboratory, such as"
        + " \"line-meter: C-17, 2026-03-01, 2027-02-28, A Laboratory\"";
  }

  /** "ROLE: FUNCTION, LIMITS[, resolution Q][, range Q]". */
  private static Entered.Accuracy accuracy(String text, CommandLine command) {
    String[] role = text.split(":", 2);
    String[] parts = role.length < 2 ? new String[0] : role[1].split(",");
    if (parts.length < 2 || parts.length > 4) {
      throw new ParameterException(command, wrongAccuracy(text));
    }
    @Nullable Quantity resolution = null;
    @Nullable Quantity range = null;
    try {
      for (int i = 2; i < parts.length; i++) {
        String part = parts[i].strip();
        if (part.startsWith(RESOLUTION)) {
          resolution = Quantity.parse(part.substring(RESOLUTION.length()));
        } else if (part.startsWith(RANGE)) {
          range = Quantity.parse(part.substring(RANGE.length()));
        } else {
          throw new ParameterException(command, wrongAccuracy(text));
        }
      }
    } catch (IllegalArgumentException e) {
      throw new ParameterException(command, wrongAccuracy(text), e);
    }
    return new Entered.Accuracy(
        role[0].strip(), parts[0].strip(), parts[1].strip(), resolution, range);
  }

  private static String wrongAccuracy(String text) {
    return "--accuracy: found \""
        + text
        + "\"; expected role, function, limits of error, and where they need it resolution and"
        + " range, such as \"hv-meter: hv, +/-(0.05 % + 3 digits), resolution 0.1 V, range 1000 V\"";
  }
}
