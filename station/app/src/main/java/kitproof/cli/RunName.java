package kitproof.cli;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Names runs so that they sort by time. */
final class RunName {
  private static final DateTimeFormatter FORM =
      DateTimeFormatter.ofPattern("yyyyMMdd'T'HHmmss.SSS'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);

  private RunName() {}

  /** "20261125T101500.123Z-LN12-001". */
  static String of(Instant time, String unit) {
    return FORM.format(time) + "-" + unit;
  }
}
