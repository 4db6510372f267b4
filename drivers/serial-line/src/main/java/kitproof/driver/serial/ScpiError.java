package kitproof.driver.serial;

import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * An entry of the error queue (SCPI-1999 Volume 2, 21.8).
 *
 * @param number 0 for none; negative ones are SCPI's, positive ones the instrument's own
 * @param text as the instrument says it
 */
record ScpiError(int number, String text) {
  private static final Pattern FORM = Pattern.compile("([+-]?\\d{1,5})\\s*,\\s*\"(.*)\"");

  /** Reads {@code -113,"Undefined header"}; null if it is something else. */
  static @Nullable ScpiError parse(String entry) {
    Matcher form = FORM.matcher(entry);
    return form.matches() ? new ScpiError(Integer.parseInt(form.group(1)), form.group(2)) : null;
  }

  @Override
  public String toString() {
    return number + " " + text;
  }
}
