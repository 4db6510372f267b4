package kitproof.cli;

import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** Which options of a command go together. */
record Together(CommandLine command) {
  private boolean given(String option) {
    return command.getParseResult().hasMatchedOption(option);
  }

  /** At most one of these. */
  Together oneOf(String... options) {
    List<String> found = List.of(options).stream().filter(this::given).toList();
    if (found.size() > 1) {
      throw new ParameterException(
          command, "found " + String.join(" and ", found) + "; expected one of them at a time");
    }
    return this;
  }

  /** The option needs another one. */
  Together needs(String option, String other) {
    if (given(option) && !given(other)) {
      throw new ParameterException(
          command, "found " + option + " without " + other + ", which alone it has a meaning for");
    }
    return this;
  }

  /** The option and these others exclude each other. */
  Together excludes(String option, String why, String... others) {
    for (String other : others) {
      if (given(option) && given(other)) {
        throw new ParameterException(command, "found " + option + " with " + other + "; " + why);
      }
    }
    return this;
  }
}
