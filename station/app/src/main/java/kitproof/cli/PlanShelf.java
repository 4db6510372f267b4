package kitproof.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import kitproof.document.Parsed;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.screen.Station;

/**
 * The plans that a person may choose from: files, and whatever is a plan in folders. What a page
 * names is looked up here and is never a path.
 */
final class PlanShelf {
  private static final Pattern PLAN = Pattern.compile("^plan:", Pattern.MULTILINE);

  private final List<Path> places;

  /**
   * Plans in these places, looked for each time they are asked for.
   *
   * @param places files and folders
   */
  PlanShelf(List<Path> places) {
    this.places = List.copyOf(places);
  }

  /** Every plan by its name on the shelf, which is its file's. */
  private Map<String, Path> files() throws IOException {
    Map<String, Path> files = new LinkedHashMap<>();
    for (Path place : places) {
      for (Path file : Files.isDirectory(place) ? plansIn(place) : List.of(place)) {
        String name = String.valueOf(file.getFileName());
        String id = name;
        for (int i = 2; files.containsKey(id); i++) {
          id = name + " (" + i + ")";
        }
        files.put(id, file);
      }
    }
    return files;
  }

  private static List<Path> plansIn(Path folder) throws IOException {
    List<Path> found = new ArrayList<>();
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.sorted().toList()) {
        String name = String.valueOf(file.getFileName());
        if ((name.endsWith(".yaml") || name.endsWith(".yml"))
            && PLAN.matcher(new String(Files.readAllBytes(file), StandardCharsets.UTF_8)).find()) {
          found.add(file);
        }
      }
    }
    return found;
  }

  /** What there is to choose from. */
  List<Station.Choice> choices() throws IOException {
    List<Station.Choice> choices = new ArrayList<>();
    files().forEach((id, file) -> choices.add(choice(id, PlanReader.read(file))));
    return choices;
  }

  /** Those that can be read. */
  List<Plan> sound() throws IOException {
    return files().values().stream()
        .map(PlanReader::read)
        .filter(Parsed::isSound)
        .map(Parsed::value)
        .toList();
  }

  private static Station.Choice choice(String id, Parsed<Plan> read) {
    if (!read.isSound()) {
      return new Station.Choice(id, id, "", "", null, false, false);
    }
    Plan plan = read.value();
    return new Station.Choice(
        id,
        plan.name(),
        plan.product(),
        plan.revision(),
        plan.serial().map(Pattern::pattern).orElse(null),
        true,
        plan.calibrates());
  }

  /** The file of a plan on the shelf. */
  Optional<Path> file(String id) throws IOException {
    return Optional.ofNullable(files().get(id));
  }
}
