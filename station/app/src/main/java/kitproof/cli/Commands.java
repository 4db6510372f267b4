package kitproof.cli;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.AutoComplete;
import picocli.CommandLine;

/**
 * The commands by name. To look at every option of all of them takes a third of the time in which
 * the program starts, so only the one that is asked for is put together; all of them for help,
 * completion, and words that are none.
 */
final class Commands {
  /** A command and its name, which its class says too. */
  record Named(String name, Class<?> command) {}

  /** In the order in which help lists them. */
  private static final List<Named> ALL =
      List.of(
          new Named("run", RunCommand.class),
          new Named("serve", ServeCommand.class),
          new Named("check", CheckCommand.class),
          new Named("demo", DemoCommand.class),
          new Named("analyze", AnalyzeCommand.class),
          new Named("plot", PlotCommand.class),
          new Named("report", ReportCommand.class),
          new Named("batch", BatchCommand.class),
          new Named("compare", CompareCommand.class),
          new Named("store", StoreCommand.class),
          new Named("rejudge", RejudgeCommand.class),
          new Named("calibrate", CalibrateCommand.class),
          new Named("selfcheck", SelfcheckCommand.class),
          new Named("gauge-study", GaugeStudyCommand.class),
          new Named("drivers", DriversCommand.class),
          new Named("board", BoardCommand.class),
          new Named("generate-completion", AutoComplete.GenerateCompletion.class));

  private Commands() {}

  /** Those that are needed to understand a line that begins with this word; null for none. */
  static List<Named> of(@Nullable String first) {
    List<Named> named = new ArrayList<>(ALL);
    named.removeIf(one -> !one.name.equals(first) || one.command.getEnclosingClass() != null);
    return named.isEmpty() ? ALL : named;
  }

  static CommandLine addTo(CommandLine line, List<Named> commands) {
    commands.forEach(one -> line.addSubcommand(one.command));
    return line;
  }
}
