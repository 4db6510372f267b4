package kitproof.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.stream.Collectors;
import kitproof.value.Nearest;
import picocli.CommandLine;
import picocli.CommandLine.IParameterExceptionHandler;
import picocli.CommandLine.MissingParameterException;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.OverwrittenOptionException;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.UnmatchedArgumentException;

/**
 * What is wrong with the words of a command line, as all other input is told: what was found, what
 * was expected, and the nearest valid name. The help is only named: it would push that off the
 * screen.
 */
final class WrongWords implements IParameterExceptionHandler {
  /** What a value of an option must be that is neither text nor one of a few words. */
  private static final Map<Class<?>, String> EXPECTED =
      Map.of(
          int.class, "a whole number",
          Integer.class, "a whole number",
          double.class, "a number",
          Double.class, "a number",
          Duration.class, "a duration, such as PT2S",
          ZoneId.class, "a time zone, such as UTC or Europe/London",
          Path.class, "a path",
          Map.class, "NAME=VALUE");

  @Override
  public int handleParseException(ParameterException e, String[] arguments) {
    CommandLine command = e.getCommandLine();
    PrintWriter errors = command.getErr();
    errors.println(message(e, command));
    boolean nothingSaid = command.getParent() == null && !(e instanceof UnmatchedArgumentException);
    if (nothingSaid) {
      command.usage(errors); // where there is no word yet, the help is the answer
    } else {
      String name = command.getCommandSpec().qualifiedName();
      errors.println("\"" + name + " --help\" says what there is");
    }
    errors.flush();
    return ExitCodes.BAD_INPUT;
  }

  private static String message(ParameterException e, CommandLine command) {
    if (e instanceof UnmatchedArgumentException unmatched && !unmatched.getUnmatched().isEmpty()) {
      return unmatched(unmatched.getUnmatched().get(0), command);
    }
    if (e instanceof MissingParameterException missing && !missing.getMissing().isEmpty()) {
      return missing.getMissing().stream()
          .map(WrongWords::label)
          .collect(Collectors.joining(", ", "found no ", "; expected it"));
    }
    if (e instanceof OverwrittenOptionException twice) {
      return "found " + name(twice.getOverwritten()) + " twice; expected it once";
    }
    ArgSpec argument = e.getArgSpec();
    return argument != null && e.getValue() != null
        ? value(argument, e.getValue())
        : String.valueOf(e.getMessage());
  }

  private static String unmatched(String word, CommandLine command) {
    String found = "found \"" + word + "\"; expected ";
    if (word.startsWith("-")) {
      Collection<String> options = new TreeSet<>(command.getCommandSpec().optionsMap().keySet());
      String name = word.split("=", 2)[0];
      return found
          + "an option of \""
          + command.getCommandSpec().qualifiedName()
          + "\""
          + hint(name, options);
    }
    Collection<String> below = new TreeSet<>(command.getSubcommands().keySet());
    return below.isEmpty()
        ? found + "nothing more"
        : found + "one of " + String.join(", ", below) + hint(word, below);
  }

  private static String value(ArgSpec argument, String found) {
    Class<?> type = argument.auxiliaryTypes()[argument.auxiliaryTypes().length - 1];
    List<String> words = new ArrayList<>();
    if (type.isEnum()) {
      Arrays.stream(type.getEnumConstants()).map(String::valueOf).forEach(words::add);
    }
    String expected =
        words.isEmpty()
            ? EXPECTED.getOrDefault(argument.type(), EXPECTED.getOrDefault(type, "another value"))
            : "one of " + String.join(", ", words);
    return name(argument) + ": found \"" + found + "\"; expected " + expected + hint(found, words);
  }

  private static String hint(String found, Collection<String> valid) {
    return Nearest.to(found, valid).map(name -> "; did you mean \"" + name + "\"?").orElse("");
  }

  private static String name(ArgSpec argument) {
    return argument instanceof OptionSpec option ? option.longestName() : argument.paramLabel();
  }

  private static String label(ArgSpec argument) {
    return argument instanceof OptionSpec option && !argument.paramLabel().isEmpty()
        ? option.longestName() + " " + argument.paramLabel()
        : name(argument);
  }
}
