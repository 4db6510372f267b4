package kitproof.cli;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileSystemException;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.ExecutionException;

/** Where the program starts. */
public final class Main {
  private Main() {}

  public static void main(String[] arguments) {
    int code = ExitCodes.STATION_ERROR;
    try {
      code = run(arguments);
    } finally {
      // Even after an Error: threads of libraries must not keep a program alive that is over.
      System.exit(code);
    }
  }

  /** Runs one command and returns its exit code. */
  static int run(String... arguments) {
    return commandLine(arguments.length == 0 ? null : arguments[0]).execute(arguments);
  }

  /** With every command. */
  static CommandLine commandLine() {
    return commandLine(null);
  }

  private static CommandLine commandLine(@Nullable String first) {
    CommandLine line = Commands.addTo(new CommandLine(new Kitproof()), Commands.of(first));
    line.setExecutionExceptionHandler(
        (e, failed, parsed) -> {
          failed.getErr().println("kitproof: " + message(e));
          failed.getErr().flush();
          return ExitCodes.STATION_ERROR;
        });
    line.setParameterExceptionHandler(new WrongWords());
    line.setCaseInsensitiveEnumValuesAllowed(true);
    return line;
  }

  /** For a person. */
  static String message(Throwable e) {
    boolean wrapped = e instanceof UncheckedIOException || e instanceof ExecutionException;
    Throwable cause = wrapped && e.getCause() != null ? e.getCause() : e;
    if (cause instanceof FileSystemException file) {
      return file.getFile() + ": " + reason(file);
    }
    if (cause instanceof IOException) {
      return String.valueOf(cause.getMessage());
    }
    return "failed inside the program: " + cause;
  }

  private static String reason(FileSystemException e) {
    @Nullable String reason = e.getReason();
    return reason == null ? e.getClass().getSimpleName() : reason;
  }
}
