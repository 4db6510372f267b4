package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;

/** What holds for every command, and the commands that only tell something. */
class CommandsTest {
  @ParameterizedTest
  @ValueSource(
      strings = {
        "run",
        "check",
        "demo",
        "analyze",
        "compare",
        "report",
        "store",
        "batch",
        "rejudge",
        "drivers",
        "board",
        "serve",
        "calibrate",
        "selfcheck",
        "gauge-study"
      })
  void helpHasExamples(String command) {
    Cli cli = Cli.run(command, "--help");
    assertThat(cli.code()).isZero();
    assertThat(cli.out())
        .containsPattern("Examples?:\n  kitproof " + command)
        .contains("Usage: kitproof " + command);
    assertThat(cli.out().lines()).allMatch(l -> l.length() <= 100);
  }

  /** Every command of this program, at whatever depth. */
  private static Stream<CommandLine> commands() {
    return below(Main.commandLine());
  }

  private static Stream<CommandLine> below(CommandLine command) {
    return Stream.concat(
        Stream.of(command),
        command.getSubcommands().values().stream().distinct().flatMap(CommandsTest::below));
  }

  /** An example may go on in the next line, and begin with settings of the environment. */
  private static List<String> examples(CommandLine command) {
    String footer = String.join("\n", command.getCommandSpec().usageMessage().footer());
    return footer
        .replaceAll("\\\\\n *", " ")
        .lines()
        .map(line -> line.strip().replaceAll("%%", "%"))
        .filter(line -> line.matches("(?:[A-Z_]+=\\S+ )*kitproof [a-z].*"))
        .map(line -> line.substring(line.indexOf("kitproof ") + "kitproof ".length()))
        .toList();
  }

  @ParameterizedTest
  @MethodSource("commands")
  void helpShowsNoExampleThatThisProgramDoesNotTake(CommandLine command) {
    for (String example : examples(command)) {
      String plain = example.replaceAll(" (?:[|>]|2>).*", "");
      List<String> words = new ArrayList<>();
      Matcher word = Pattern.compile("(?:'[^']*'|\"[^\"]*\"|\\S)+").matcher(plain);
      while (word.find()) {
        words.add(word.group().replaceAll("['\"]", ""));
      }
      assertThatCode(() -> Main.commandLine().parseArgs(words.toArray(String[]::new)))
          .as("kitproof %s", example)
          .doesNotThrowAnyException();
    }
  }

  /** Only the command that is asked for is put together; it must be the same one. */
  @Test
  void aCommandAloneIsTheCommandAmongAll() {
    CommandLine all = Main.commandLine();
    assertThat(all.getSubcommands()).hasSize(17);
    all.getSubcommands()
        .forEach(
            (name, command) -> {
              CommandLine alone =
                  Commands.addTo(new CommandLine(new Kitproof()), Commands.of(name));
              assertThat(alone.getSubcommands()).containsKey(name);
              assertThat(alone.getSubcommands().get(name).getUsageMessage())
                  .isEqualTo(command.getUsageMessage());
            });
    assertThat(Commands.of("run")).hasSize(1);
    assertThat(Commands.of("generate-completion")).as("it tells of all").hasSize(17);
    assertThat(Commands.of("--help")).hasSize(17);
    assertThat(Commands.of(null)).hasSize(17);
  }

  @Test
  void theExamplesOfHelpAreFound() {
    assertThat(commands().mapToInt(command -> examples(command).size()).sum()).isGreaterThan(40);
    CommandLine serve = Main.commandLine().getSubcommands().get("serve");
    assertThat(examples(serve)).hasSize(3).anyMatch(example -> example.contains("--batch-size 12"));
  }

  @Test
  void helpNamesTheCommandsTheExitCodesAndTheDanger() {
    Cli cli = Cli.run("--help");
    assertThat(cli.code()).isZero();
    assertThat(cli.out())
        .contains(
            "run",
            "check",
            "demo",
            "analyze",
            "report",
            "store",
            "drivers",
            "board",
            "generate-completion")
        .contains("0  pass", "1  a unit failed", "2  bad input", "3  aborted", "4  instrument")
        .contains("several hundred volts");
  }

  @ParameterizedTest
  @CsvSource({
    "chek,  check",
    "driver, drivers",
    "analyse, analyze",
  })
  void aNearCommandIsSuggested(String typed, String meant) {
    Cli cli = Cli.run(typed);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains(typed).contains("did you mean \"" + meant + "\"?");
  }

  @Test
  void aNearOptionIsSuggested() {
    Cli cli = Cli.run("demo", "--unit", "3");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("--unit").contains("--units");
  }

  @Test
  void withoutACommandItSaysWhichThereAre() {
    Cli cli = Cli.run();
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("Say what to do").contains("check");
    assertThat(cli.out()).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(strings = {"0", "1000", "-1"})
  void aDemoOfAnOddNumberOfUnitsIsRefused(String units) {
    Cli cli = Cli.run("demo", "--units", units);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("--units: found " + units + "; expected 1 to 999");
  }

  @ParameterizedTest
  @CsvSource({"0,0", "1,3", "2,3"})
  void aDemoThatWasStoppedBetweenTwoUnitsIsAborted(int notDone, int code) {
    UnitRun.Outcome passed =
        new UnitRun.Outcome(
            "LN12-001",
            Verdict.PASS,
            "",
            List.of(),
            List.of(),
            "run",
            Path.of("record"),
            Optional.empty());
    assertThat(DemoCommand.exitCode(List.of(passed), 1 + notDone)).isEqualTo(code);
    assertThat(DemoCommand.exitCode(List.of(), notDone)).isEqualTo(code);
  }

  @Test
  void theCompletionScriptKnowsCommandsAndOptions() {
    Cli cli = Cli.run("generate-completion");
    assertThat(cli.code()).isZero();
    assertThat(cli.out()).contains("complete -F", "kitproof", "--bench", "--full-scale");
  }

  @Test
  void theDriversAreListedWithTheirSettings() {
    Cli cli = Cli.run("drivers", "--plugins", "/nonexistent");
    assertThat(cli.code()).isZero();
    assertThat(cli.out())
        .contains("serial-meter  (meter; class path)")
        .contains("relay-switcher  (switcher; class path)")
        .contains("audio-interface  (audio-interface; class path)")
        .contains("simulated-bench  (audio-interface, meter, operator, switcher; class path)")
        .containsPattern("\n    line +Where the instrument is connected\\. Must be given\\.\n")
        .containsPattern("\n    baud +Bits per second\\. If left out: 9600\\.\n");
  }

  @Test
  void theDriversForAProgramHaveTheSame() {
    JsonNode json = Cli.run("drivers", "--json", "--plugins", "/nonexistent").json();
    assertThat(json.get("troubles")).isEmpty();
    List<String> ids = json.get("drivers").findValuesAsText("id");
    assertThat(ids)
        .containsExactlyInAnyOrder(
            "serial-meter", "relay-switcher", "audio-interface", "simulated-bench", "person");
    assertThat(json.get("drivers"))
        .allSatisfy(
            driver -> {
              assertThat(driver.get("summary").asText()).isNotBlank();
              assertThat(driver.get("kinds")).isNotEmpty();
              boolean person = driver.get("id").asText().equals("person");
              assertThat(driver.get("settings").isEmpty()).isEqualTo(person);
              assertThat(driver.get("settings"))
                  .allSatisfy(
                      setting -> {
                        assertThat(setting.get("key").asText()).isNotBlank();
                        assertThat(setting.get("form").asText()).isNotBlank();
                        assertThat(setting.get("meaning").asText()).isNotBlank();
                      });
            });
  }
}
