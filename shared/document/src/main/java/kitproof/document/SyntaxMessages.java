package kitproof.document;

import java.util.List;
import kitproof.value.Location;
import kitproof.value.Problem;
import org.yaml.snakeyaml.error.Mark;
import org.yaml.snakeyaml.error.MarkedYAMLException;

/** The YAML library's complaints in words for people who do not know YAML's grammar. */
final class SyntaxMessages {
  /**
   * @param atStart whether the place where the construct began helps more than where it broke
   */
  private record Plain(String part, String found, String expected, boolean atStart) {
    Plain(String part, String found, String expected) {
      this(part, found, expected, false);
    }
  }

  /** The first whose part stands in the library's message wins. */
  private static final List<Plain> PLAIN =
      List.of(
          new Plain("TAB", "a tab", "spaces; YAML does not indent with tabs"),
          new Plain(
              "mapping values are not allowed",
              "a \":\" where no value can begin",
              "one \"key: value\" a line, indented like its neighbours; text that contains \": \" in"
                  + " quotes"),
          new Plain(
              "could not find expected ':'",
              "a line that is no \"key: value\"",
              "a \":\" and a space after the key",
              true),
          new Plain(
              "while scanning a quoted scalar",
              "a quote that is never closed",
              "a closing quote",
              true),
          new Plain(
              "while parsing a flow sequence",
              "a list in brackets that is not closed here",
              "\",\" or \"]\""),
          new Plain(
              "while parsing a flow mapping",
              "a section in braces that is not closed here",
              "\",\" or \"}\""),
          new Plain(
              "expected <block end>",
              "a line that does not fit the ones around it",
              "the same indentation as its neighbours, \"- \" before each item of a list"),
          new Plain(
              "cannot start any token",
              "a character that cannot begin a value",
              "text that begins with it in quotes"),
          new Plain(
              "escape character", "an unknown escape after \\", "a known one, or single quotes"));

  private SyntaxMessages() {}

  static Problem problem(String file, MarkedYAMLException error) {
    String message = error.getContext() + "; " + error.getProblem();
    return PLAIN.stream()
        .filter(plain -> message.contains(plain.part))
        .findFirst()
        .map(plain -> Problem.of(place(file, error, plain.atStart), plain.found, plain.expected))
        .orElseGet(
            () ->
                Problem.of(
                    place(file, error, false),
                    "what is not YAML (" + error.getProblem() + ")",
                    "YAML"));
  }

  private static Location place(String file, MarkedYAMLException error, boolean atStart) {
    Mark broke = error.getProblemMark();
    Mark began = error.getContextMark();
    Mark mark = broke == null || (atStart && began != null) ? began : broke;
    return mark == null
        ? Location.of(file)
        : new Location(file, mark.getLine() + 1, mark.getColumn() + 1);
  }
}
