package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import picocli.CommandLine;

/** What the pages for users and developers name is there: links, commands, options, classes. */
class DocsTest {
  private static final Pattern FENCED = Pattern.compile("(?ms)^```.*?^```");
  private static final Pattern SPAN = Pattern.compile("`([^`\n]+)`");
  private static final Pattern LINK = Pattern.compile("\\]\\(([^)\\s]+)\\)");

  /** A class and what is named of it: {@code StepBench.read}. */
  private static final Pattern CLASS =
      Pattern.compile("^@?([A-Z][a-z0-9]+(?:(?:[A-Z][a-z0-9]*)+|(?=\\.\\w)))(?:\\.(\\w+))?");

  private static final Pattern COMMAND =
      Pattern.compile("(?<![\\w.-])kitproof((?: [a-z][a-z-]*(?=\\s|$))+)([^\n#|;]*)");

  private static final Pattern OPTION = Pattern.compile("(?<![\\w-])--[a-z][a-z-]*");

  /** Of the JDK or of the libraries; and words that are written like a class. */
  private static final Set<String> OTHERS =
      Set.of("ServiceLoader", "NullAway", "NullMarked", "ExtendWith");

  static Stream<Path> pages() throws IOException {
    List<Path> pages = new ArrayList<>(List.of(page("README.md"), page("DEVELOPERS.md")));
    for (String folder : List.of("station/docs", "drivers")) {
      try (Stream<Path> files = Files.walk(page(folder), 2)) {
        files.filter(file -> file.toString().endsWith(".md")).sorted().forEach(pages::add);
      }
    }
    assertThat(pages).hasSizeGreaterThan(10);
    return pages.stream();
  }

  private static Path page(String name) {
    return Cli.HOME.resolve(name);
  }

  @ParameterizedTest
  @MethodSource("pages")
  void everyLinkLeadsSomewhere(Path page) throws IOException {
    for (String link : found(LINK, Files.readString(page))) {
      if (link.startsWith("http")) {
        continue;
      }
      String[] parts = link.split("#", 2);
      Path target = parts[0].isEmpty() ? page : page.resolveSibling(parts[0]).normalize();
      assertThat(target).as(page + " links to " + link).exists();
      if (parts.length == 2) {
        assertThat(headings(Files.readString(target)))
            .as(page + " links to " + link)
            .contains(parts[1]);
      }
    }
  }

  /** As a page's headings are called in links. */
  private static Set<String> headings(String text) {
    return text.lines()
        .filter(line -> line.startsWith("#"))
        .map(line -> line.replaceFirst("^#+ ", "").toLowerCase(Locale.ROOT))
        .map(line -> line.replaceAll("[^\\w -]", "").replace(' ', '-'))
        .collect(Collectors.toSet());
  }

  @ParameterizedTest
  @MethodSource("pages")
  void everyClassIsThereWithWhatIsNamedOfIt(Path page) throws IOException {
    Map<String, Path> sources = sources();
    assertThat(sources).hasSizeGreaterThan(800);
    String prose = FENCED.matcher(Files.readString(page)).replaceAll("");
    for (MatchResult span : SPAN.matcher(prose).results().toList()) {
      for (MatchResult named : CLASS.matcher(span.group(1)).results().toList()) {
        String name = named.group(1);
        if (OTHERS.contains(name)) {
          continue;
        }
        assertThat(sources).as(page + " names " + span.group(1)).containsKey(name);
        String member = named.group(2);
        if (member != null) {
          assertThat(Files.readString(sources.get(name)))
              .as(page + " names " + span.group(1))
              .containsPattern("\\b" + member + "\\b");
        }
      }
    }
  }

  /** Java files of the project by the name of their class. */
  private static Map<String, Path> sources() throws IOException {
    try (Stream<Path> files = Files.walk(page(""))) {
      return files
          .filter(file -> file.toString().endsWith(".java"))
          .filter(file -> !file.toString().contains("/target/"))
          .collect(
              Collectors.toMap(
                  file -> file.getFileName().toString().replace(".java", ""),
                  file -> file,
                  (one, other) -> one));
    }
  }

  @ParameterizedTest
  @MethodSource("pages")
  void everyCommandTakesTheOptionsThatAreNamedWithIt(Path page) throws IOException {
    String text = Files.readString(page).replaceAll("\\\\\n *", " ");
    for (MatchResult found : COMMAND.matcher(code(text)).results().toList()) {
      CommandLine command = Main.commandLine();
      for (String word : found.group(1).strip().split(" ")) {
        CommandLine below = command.getSubcommands().get(word);
        if (below == null) {
          assertThat(command.getSubcommands())
              .as("%s: %s has no command %s", page, found.group(), word)
              .isEmpty();
          break;
        }
        command = below;
      }
      Set<String> options = command.getCommandSpec().optionsMap().keySet();
      assertThat(options)
          .as("%s: %s", page, found.group())
          .containsAll(found(OPTION, found.group(2)));
    }
  }

  @ParameterizedTest
  @MethodSource("pages")
  void everyOptionBelongsToSomeCommand(Path page) throws IOException {
    Set<String> all = new TreeSet<>();
    options(Main.commandLine(), all);
    String text = code(Files.readString(page));
    assertThat(found(OPTION, text)).as(page.toString()).isSubsetOf(all);
  }

  private static void options(CommandLine command, Set<String> into) {
    into.addAll(command.getCommandSpec().optionsMap().keySet());
    command.getSubcommands().values().forEach(below -> options(below, into));
  }

  /** What stands in a page as code, a line each. */
  private static String code(String text) {
    List<String> code = new ArrayList<>();
    FENCED.matcher(text).results().map(MatchResult::group).forEach(code::add);
    SPAN.matcher(FENCED.matcher(text).replaceAll(""))
        .results()
        .map(span -> span.group(1))
        .forEach(code::add);
    return String.join("\n", code);
  }

  private static List<String> found(Pattern pattern, String text) {
    return pattern
        .matcher(text)
        .results()
        .map(match -> match.groupCount() == 0 ? match.group() : match.group(1))
        .distinct()
        .toList();
  }
}
